"""Where use cases work: the open logbook, the clock, the person, and the one change signal."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import bindparam, delete, func, insert, select

from tubcare.care.template_words import as_written
from tubcare.services.fields import plain
from tubcare.store.tables import ActionRow, SettingRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.care.template_words import OwnWords
    from tubcare.clock import Clock
    from tubcare.services.topics import Topics
    from tubcare.store.store import Store
    from tubcare.store.unit import Unit

UNDO_DEPTH = 200
HOME_ZONE = "home_zone"

# Statements are built once: building one costs several times its run.
_ACTION, _SETTING = table_of(ActionRow), table_of(SettingRow)
_OWN = _ACTION.c.actor == bindparam("of")
# What was taken back lies above what was not, so that one step down the index finds where it ends.
_FORGET_UNDONE = delete(_ACTION).where(
    _OWN,
    _ACTION.c.id
    > func.coalesce(
        select(_ACTION.c.id)
        .where(_OWN, _ACTION.c.undone.is_(False))
        .order_by(_ACTION.c.id.desc())
        .limit(1)
        .scalar_subquery(),
        0,
    ),
)
_KEEP_ACTION = insert(_ACTION)
_FORGET_OLDEST = delete(_ACTION).where(
    _OWN,
    _ACTION.c.id
    <= select(_ACTION.c.id)
    .where(_OWN)
    .order_by(_ACTION.c.id.desc())
    .offset(UNDO_DEPTH)
    .limit(1)
    .scalar_subquery(),
)
_READ_SETTING = select(_SETTING.c.value).where(_SETTING.c.name == bindparam("named"))


class Desk:
    """An open logbook together with who works on it and when.

    Parameters
    ----------
    store
        The open logbook.
    clock
        The source of today and now.
    actor
        Name of the person; undo goes back along one actor's own actions.
    own_words
        The person's language for texts of the program's own; plans are drawn in it.
    """

    def __init__(
        self, store: Store, clock: Clock, actor: str, own_words: OwnWords = as_written
    ) -> None:
        self.store = store
        self.clock = clock
        self.actor = actor
        self.own_words = own_words
        self._listeners: list[Callable[[Topics], None]] = []

    def on_change(self, listener: Callable[[Topics], None]) -> None:
        """Call `listener` with the topics after each use case that committed."""
        self._listeners.append(listener)

    def announce(self, topics: Topics) -> None:
        """Tell the open views what changed."""
        for listener in tuple(self._listeners):
            listener(topics)

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """Open a transaction that only reads."""
        with self.store.read() as connection:
            yield connection

    @contextmanager
    def write(self, label: str, subject: str, topics: Topics) -> Iterator[Unit]:
        """Open one use case: all of it is kept with what takes it back, or nothing.

        Parameters
        ----------
        label
            What was done, as a stable word such as `tick_off`; `words` makes the sentence.
        subject
            The thing it was done to, as shown to a person. A use case that learns it while it runs
            sets `unit.subject`.
        topics
            The nouns that may have changed.
        """
        from tubcare.services.derived import refresh_caches  # noqa: PLC0415  not for looking

        with self.store.write() as unit:
            unit.subject = subject
            yield unit
            changed = bool(unit.changes)
            if changed:
                refresh_caches(unit)
                self._remember(unit, label)
        if changed:
            self.announce(topics)

    @contextmanager
    def write_unremembered(self, topics: Topics) -> Iterator[Unit]:
        """Open a transaction that undo does not know: settings, undo itself, reminders."""
        from tubcare.services.derived import refresh_caches  # noqa: PLC0415  not for looking

        with self.store.write() as unit:
            yield unit
            refresh_caches(unit)
        self.announce(topics)

    def now(self) -> datetime:
        """Return the instant as of which everything is told, in UTC."""
        return self.clock.now()

    def today(self, zone: str) -> date:
        """Return the local date in a named time zone."""
        return self.clock.today(ZoneInfo(zone))

    def home_today(self) -> date:
        """Return the date in the logbook's home zone, for headings."""
        with self.read() as connection:
            return self.today(setting(connection, HOME_ZONE) or "UTC")

    def _remember(self, unit: Unit, label: str) -> None:
        connection = unit.connection
        connection.execute(_FORGET_UNDONE, {"of": self.actor})
        row = connection.execute(
            _KEEP_ACTION,
            {
                "actor": self.actor,
                "at": self.clock.now(),
                "label": label,
                "subject": plain(unit.subject)[:200],
                "changes": [change.to_data() for change in unit.changes],
                "undone": False,
            },
        ).inserted_primary_key
        if row is not None and row[0] > UNDO_DEPTH:
            connection.execute(_FORGET_OLDEST, {"of": self.actor})


def setting(connection: Connection, name: str) -> str | None:
    """Return one setting of the logbook, None when it was never set."""
    found = connection.execute(_READ_SETTING, {"named": name}).scalar()
    return None if found is None else str(found)
