"""What people type by mistake or to try: refused with the way out, or kept as plain text."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest

from tests.services.conftest import KINDS
from tests.support.dump import assert_same, everything
from tests.support.plans import add_task, add_tub
from tests.support.stores import new_address
from tubcare.care.model import Category, TubState
from tubcare.errors import AlreadyDoneError, InputError, OutOfRangeError, TubcareError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.desk import Desk
from tubcare.services.entries import entries
from tubcare.services.household import (
    POWER_PRICE,
    change_person,
    change_setting,
    people,
    start_logbook,
)
from tubcare.services.measures import MeterValue, add_dip, add_readings
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.services.money import BuildCost, DirectPurchase, add_build_cost, pay
from tubcare.services.supplies import count_stock, new_supply, supplies, throw_away
from tubcare.services.task_edits import TaskDraft
from tubcare.services.task_edits import add_task as add_own_task
from tubcare.services.tasks import open_key, task_detail
from tubcare.services.tubs import change_profile, enter_state, tubs
from tubcare.services.upkeep_model import Ticked, Work
from tubcare.services.upkeep_put_off import put_off, skip
from tubcare.services.upkeep_tick import tick_off
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.support.clocks import StillClock
    from tubcare.values import TaskId, TubId

DAY = date(2026, 5, 1)
LONG = "ä" * 10_000
ODD = "a\x00b\x07\ud800<b>c</b>"
PLAIN = "ab<b>c</b>"


def refusal(desk: Desk, work: Callable[[], object], kind: type[TubcareError]) -> str:
    """Return what is said when this is refused; it must have left no trace."""
    before = everything(desk.store)
    with pytest.raises(kind) as refused:
        work()
    assert_same(everything(desk.store), before)
    return str(refused.value)


def own_task(desk: Desk, tub: TubId, **changes: Any) -> TaskId:  # noqa: ANN401  fields of a draft
    draft = TaskDraft(
        tub=tub,
        title="Own",
        category=Category.OTHER,
        rules={"triggers": [{"kind": "elapsed", "every": 30, "period": "day"}]},
        starts_on=DAY,
    )
    return add_own_task(desk, replace(draft, **changes))


@pytest.mark.parametrize(
    ("trigger", "told"),
    [
        ({"kind": "calendar", "rule": "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"}, "no date"),
        ({"kind": "calendar", "rule": "FREQ=HOURLY"}, "FREQ"),
        ({"kind": "calendar", "rule": "FREQ=DAILY;BYHOUR=9"}, "BYHOUR"),
        ({"kind": "calendar", "rule": "every day"}, "NAME=VALUE"),
        ({"kind": "elapsed", "every": 0, "period": "day"}, "count is 0; it must lie in 1"),
        ({"kind": "reading", "when": "ph ~ 7"}, "comparison: '~' is not one of"),
        ({"kind": "moon"}, "kind: 'moon' is not one of"),
    ],
)
def test_an_impossible_rule_is_refused_naming_the_part(
    desk: Desk, trigger: dict[str, object], told: str
) -> None:
    tub = add_tub(desk)
    rules = {"triggers": [trigger]}
    assert told in refusal(desk, lambda: own_task(desk, tub, rules=rules), TubcareError)


def test_a_date_out_of_range_is_refused_everywhere(desk: Desk) -> None:
    tub = add_tub(desk)
    task = add_task(desk, tub)
    key = open_key(desk, task) or ""
    long_ago, far = date(1200, 1, 1), date(2900, 1, 1)
    bill = DirectPurchase(on=far, category=SpendCategory.OTHER, minor=1)
    works: tuple[Callable[[], object], ...] = (
        lambda: own_task(desk, tub, starts_on=long_ago),
        lambda: tick_off(desk, task, key, Work(on=long_ago)),
        lambda: put_off(desk, task, key, far),
        lambda: add_dip(desk, tub, on=long_ago),
        lambda: pay(desk, bill),
        lambda: add_build_cost(desk, BuildCost(on=long_ago, minor=1, months=1)),
    )
    for work in works:
        assert "1990 to 2199" in refusal(desk, work, InputError)


def test_what_has_not_happened_yet_is_refused(desk: Desk) -> None:
    tub = add_tub(desk)
    tomorrow = date(2026, 5, 2)
    meter = MeterValue(counter="kwh", value_milli=1)
    works: tuple[Callable[[], object], ...] = (
        lambda: add_dip(desk, tub, on=tomorrow),
        lambda: add_readings(desk, tub, {"ph": 7.2}, on=tomorrow),
        lambda: add_fill(desk, tub, 10, on=tomorrow),
        lambda: add_meter_reading(desk, tub, meter, on=tomorrow),
        lambda: enter_state(desk, tub, TubState.CLOSED, tomorrow),
    )
    for work in works:
        assert "yet to come" in refusal(desk, work, InputError)


def test_negative_and_absurd_numbers_are_refused(desk: Desk) -> None:
    tub = add_tub(desk)
    supply = new_supply(desk, name="Oil", unit="ml", category=SpendCategory.OTHER)
    task = add_task(desk, tub)
    key = open_key(desk, task) or ""
    works: tuple[Callable[[], object], ...] = (
        lambda: tick_off(desk, task, key, Work(cost_minor=-1)),
        lambda: tick_off(desk, task, key, Work(cost_minor=10**13)),
        lambda: tick_off(desk, task, key, Work(minutes=10**6)),
        lambda: tick_off(desk, task, key, Work(uses={supply: -1})),
        lambda: tick_off(desk, task, key, Work(uses={supply: 10**12})),
        lambda: add_dip(desk, tub, dips=0),
        lambda: add_dip(desk, tub, dips=10**6),
        lambda: add_dip(desk, tub, minutes=-1),
        lambda: add_readings(desk, tub, {"ph": float("nan")}),
        lambda: add_readings(desk, tub, {"water_c": float("inf")}),
        lambda: add_fill(desk, tub, -5),
        lambda: add_fill(desk, tub, 10**9),
        lambda: add_meter_reading(desk, tub, MeterValue(counter="kwh", value_milli=-1)),
        lambda: count_stock(desk, supply, counted_milli=-1, on=DAY),
        lambda: throw_away(desk, supply, quantity_milli=10**12, on=DAY),
        lambda: own_task(desk, tub, usual_minor=-1),
        lambda: own_task(desk, tub, usual_minor=10**13),
        lambda: own_task(desk, tub, supplies={supply: 0}),
        lambda: own_task(desk, tub, supplies={supply: 10**12}),
    )
    for work in works:
        assert "must lie in" in refusal(desk, work, OutOfRangeError)


def test_an_unknown_currency_price_quantity_or_counter_is_refused(desk: Desk) -> None:
    tub = add_tub(desk)
    other = Desk(desk.store, desk.clock, "Ann")
    for code in ("ABC", "", "eur€"):
        work = lambda code=code: start_logbook(  # noqa: E731  one use
            other, currency_code=code, home_zone="UTC", person="Ann"
        )
        assert "currency: " in refusal(desk, work, InputError)
    assert "not known" in refusal(desk, lambda: add_readings(desk, tub, {"luck": 1}), InputError)
    assert "at least one" in refusal(desk, lambda: add_readings(desk, tub, {}), InputError)
    meter = MeterValue(counter="luck", value_milli=1)
    assert "not one of" in refusal(desk, lambda: add_meter_reading(desk, tub, meter), InputError)
    assert "500" in refusal(desk, lambda: change_setting(desk, POWER_PRICE, "9" * 501), InputError)


@pytest.mark.parametrize(
    ("name", "told"),
    [
        *((empty, "write a name") for empty in ("", "   ", "\x00", "\n")),
        ("x" * 201, "use at most"),
    ],
)
def test_an_empty_or_endless_name_is_refused_everywhere(desk: Desk, name: str, told: str) -> None:
    tub = add_tub(desk)
    (first,), (ann,) = tubs(desk), people(desk)
    works: tuple[Callable[[], object], ...] = (
        lambda: own_task(desk, tub, title=name),
        lambda: new_supply(desk, name=name, unit="g", category=SpendCategory.OTHER),
        lambda: new_supply(desk, name="Oil", unit=name, category=SpendCategory.OTHER),
        lambda: change_person(desk, replace(ann, name=name)),
        lambda: change_profile(desk, tub, replace(first.profile, name=name)),
    )
    for work in works:
        assert told in refusal(desk, work, InputError)


def test_a_skip_without_a_reason_is_refused(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk))
    key = open_key(desk, task) or ""
    assert "why" in refusal(desk, lambda: skip(desk, task, key, " \x00 "), InputError)


def test_notes_of_ten_thousand_characters_are_kept_and_longer_ones_refused(desk: Desk) -> None:
    tub = add_tub(desk)
    task = add_task(desk, tub)
    key = open_key(desk, task) or ""

    def works(note: str) -> tuple[Callable[[], object], ...]:
        bill = DirectPurchase(on=DAY, category=SpendCategory.OTHER, minor=1, note=note)
        return (
            lambda: put_off(desk, task, key, date(2026, 5, 9), note),
            lambda: tick_off(desk, task, key, Work(note=note)),
            lambda: add_dip(desk, tub, note=note),
            lambda: add_readings(desk, tub, {"ph": 7.2}, note=note),
            lambda: add_fill(desk, tub, 10, note=note),
            lambda: enter_state(desk, tub, TubState.PAUSED, DAY, note),
            lambda: pay(desk, bill),
        )

    for work in works(LONG + "x"):
        assert "10000" in refusal(desk, work, InputError)
    for work in works(LONG):
        work()
    kept = everything(desk.store)
    notes = [
        row.get("note") or row.get("reason")
        for table in ("completion", "dip", "reading", "fill", "state_change", "entry", "put_off")
        for row in kept[table]
    ]
    assert notes.count(LONG) == 7


def test_html_and_control_characters_become_plain_text(desk: Desk) -> None:
    tub = add_tub(desk)
    task = own_task(desk, tub, title=ODD)
    bill = DirectPurchase(on=DAY, category=SpendCategory.OTHER, minor=1, note=ODD, payee=ODD)
    pay(desk, bill)
    add_dip(desk, tub, person=ODD, note=ODD)
    new_supply(desk, name=ODD, unit="g", category=SpendCategory.OTHER)
    (entry,) = entries(desk, first=DAY, last=DAY)
    assert (entry.note, entry.payee) == (PLAIN, PLAIN)
    assert supplies(desk)[0].name == PLAIN
    assert PLAIN in {person.name for person in people(desk)}
    assert task_detail(desk, task).title == PLAIN


def test_two_people_ticking_at_once_one_wins_the_other_is_told_who_and_when(
    tmp_path: Path, clock: StillClock
) -> None:
    for kind in KINDS:
        address = new_address(kind, tmp_path)
        stores = [open_store(address, clock.now()) for _ in range(2)]
        names = ("Ann", "Ben")
        desks = [Desk(s, clock, name) for s, name in zip(stores, names, strict=True)]
        start_logbook(desks[0], currency_code="EUR", home_zone="UTC", person="Ann")
        task = add_task(desks[0], add_tub(desks[0]))
        key = open_key(desks[0], task) or ""
        start, found = threading.Barrier(2), dict[str, object]()

        def tick(desk: Desk) -> None:
            start.wait()  # noqa: B023  this round's own
            try:
                found[desk.actor] = tick_off(desk, task, key)  # noqa: B023  this round's own
            except AlreadyDoneError as told:
                found[desk.actor] = told  # noqa: B023  this round's own

        threads = [threading.Thread(target=tick, args=(desk,)) for desk in desks]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        (winner,) = (name for name, each in found.items() if isinstance(each, Ticked))
        (told,) = (each for each in found.values() if isinstance(each, AlreadyDoneError))
        assert (told.who, told.when) == (winner, clock.now())
        assert len(everything(stores[0])["completion"]) == 1
        for store in stores:
            store.close()
