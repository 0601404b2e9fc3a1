"""A club of two people with two tubs: what every rule of the random histories shares."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine
from typing_extensions import override

from tests.support.clocks import StillClock, noon
from tests.support.dump import assert_same, everything
from tests.support.plans import add_task, add_tub
from tubcare.errors import (
    DependentFactError,
    InputError,
    OutOfRangeError,
    RuleError,
    TubcareError,
)
from tubcare.ledger.categories import SpendCategory
from tubcare.services.desk import Desk
from tubcare.services.history import redo, undo
from tubcare.services.household import POWER_PRICE, WATER_PRICE, change_setting, start_logbook
from tubcare.services.supplies import new_supply
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

Chosen = TypeVar("Chosen")
START = noon(2026, 4, 10)
FIRST, LAST = date(2026, 1, 1), date(2027, 12, 31)

which = st.integers(0, 10_000)
who = st.sampled_from(["Ann", "Ben"])
back = st.booleans()
amounts = st.integers(1, 50_000)
quantities = st.integers(1, 9_000)
days_ago = st.integers(0, 40)

TRIGGERS: tuple[list[dict[str, Any]], ...] = (
    [{"kind": "elapsed", "every": 1, "period": "month"}],
    [{"kind": "calendar", "rule": "FREQ=WEEKLY;BYDAY=SU"}],
    [
        {"kind": "elapsed", "every": 30, "period": "day"},
        {"kind": "use", "counter": "dip", "amount": 40},
    ],
    [{"kind": "season", "edge": "opening", "offset_days": 0}],
    [{"kind": "reading", "when": "ph outside range"}],
    [
        {"kind": "calendar", "rule": "FREQ=MONTHLY;BYMONTHDAY=31"},
        {"kind": "use", "counter": "pump_h", "amount": 500},
    ],
    [{"kind": "once", "on": "2026-07-01"}],
)
SCOPES = ("always", "in_season", "closed_season")
OUTSIDE = ("stop_clock", "move_to_start", "skip")


@cache
def _begun() -> Path:
    """Return a logbook to begin with, made once and then copied."""
    folder = tempfile.mkdtemp(prefix="tubcare-histories-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    path = Path(folder) / "begun.db"
    begin(path)
    return path


def begin(address: str | Path) -> None:
    """Make a logbook with two tubs, seven tasks and two supplies."""
    clock = StillClock(START)
    desk = Desk(open_store(address, START), clock, "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="Europe/Helsinki", person="Ann")
    change_setting(desk, POWER_PRICE, "0.32")
    change_setting(desk, WATER_PRICE, "1.50")
    filters = new_supply(desk, name="Filter", unit="piece", category=SpendCategory.FILTERS)
    new_supply(desk, name="Granules", unit="g", category=SpendCategory.CHEMICALS)
    tubs = (add_tub(desk), add_tub(desk, name="South", zone="Pacific/Auckland"))
    for number, triggers in enumerate(TRIGGERS):
        add_task(
            desk,
            tubs[number % 2],
            title=f"Task {number}",
            triggers=triggers,
            scope=SCOPES[number % 3],
            out_of_scope=OUTSIDE[number % 3],
            usual_minor=250 if number % 2 else None,
            supplies={filters: 1000} if number % 3 == 0 else None,
            round_name="Sunday round" if number < 4 else "",
        )
    with desk.write_unremembered(frozenset()) as unit:
        unit.connection.exec_driver_sql("DELETE FROM action")
    desk.store.close()


def refusal_of(work: Callable[[], object]) -> TubcareError | None:
    """Run `work`; return the typed error it was refused with, which says what stands against it.

    What is no refusal, such as an error of the database, goes through.
    """
    try:
        work()
    except (RuleError, InputError, OutOfRangeError) as error:
        refused = error
    else:
        return None
    assert str(refused).strip()
    assert not isinstance(refused, DependentFactError) or refused.dependent.strip()
    return refused


class Club(RuleBasedStateMachine):
    """Two people at one logbook, each with their own line of undo."""

    def __init__(self) -> None:
        super().__init__()
        self._folder = tempfile.TemporaryDirectory()
        self.clock = StillClock(START)
        self.store = open_store(self.new_logbook(Path(self._folder.name)), START)
        self.desks = {name: Desk(self.store, self.clock, name) for name in ("Ann", "Ben")}
        self.first_facts = everything(self.store)
        self.last_facts = self.first_facts
        self.is_sound = True

    def new_logbook(self, folder: Path) -> str | Path:
        """Return the address of a logbook to begin with."""
        return Path(shutil.copy(_begun(), folder / "club.db"))

    @property
    def ann(self) -> Desk:
        """Return the desk that only looks."""
        return self.desks["Ann"]

    def today(self) -> date:
        """Return the date at the clock, in UTC."""
        return self.clock.at.date()

    def ago(self, days: int) -> date:
        """Return the date so many days ago."""
        return self.today() - timedelta(days=days)

    def rows(self, table: str) -> list[dict[str, Any]]:
        """Return the rows of one table as they are now."""
        return self.last_facts[table]

    @staticmethod
    def pick(rows: Sequence[Chosen], number: int) -> Chosen:
        """Return one of the rows."""
        return rows[number % len(rows)]

    def do(self, name: str, work: Callable[[Desk], object], *, back: bool) -> bool:
        """Do something as one person; refused, it leaves no trace; taken back, it leaves none.

        Returns whether it was done.
        """
        desk, before = self.desks[name], self.last_facts
        self.is_sound = False
        if refusal_of(lambda: work(desk)) is not None:
            assert_same(everything(self.store), before)
            self.is_sound = True
            return False
        self.last_facts = everything(self.store)
        if back and self.last_facts != before:
            undo(desk)
            assert_same(everything(self.store), before)
            redo(desk)
            assert_same(everything(self.store), self.last_facts)
        self.is_sound = True
        return True

    def take_back(self, name: str) -> None:
        """Undo as one person, as far as nobody stands on it."""
        self._move(name, undo)

    def do_again(self, name: str) -> None:
        """Redo as one person, as far as there is room."""
        self._move(name, redo)

    def _move(self, name: str, move: Callable[[Desk], object]) -> None:
        if refusal_of(lambda: move(self.desks[name])) is not None:
            assert_same(everything(self.store), self.last_facts)
        self.last_facts = everything(self.store)

    @override
    def teardown(self) -> None:
        """Take everything back, newest first; then do it all again."""
        try:
            if self.is_sound:
                self._unwind()
        finally:
            self.store.close()
            self._folder.cleanup()

    def _unwind(self) -> None:
        statement = "SELECT actor FROM action WHERE NOT undone ORDER BY id DESC"
        with self.store.read() as connection:
            actors = list(connection.exec_driver_sql(statement).scalars())
        for actor in actors:
            undo(self.desks[actor])
        assert_same(everything(self.store), self.first_facts)
        for actor in reversed(actors):
            redo(self.desks[actor])
        assert_same(everything(self.store), self.last_facts)
