"""Who may take which fact away, and what stands in the way."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.support.books import assert_books_hold
from tests.support.dump import NOT_FACTS, assert_same, everything, facts
from tests.support.plans import add_task, add_tub
from tubcare.errors import DependentFactError, InputError, RuleError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.completions import delete_completion
from tubcare.services.corrections import Correction, change_entry, refund
from tubcare.services.desk import Desk
from tubcare.services.entries import entries
from tubcare.services.history import redo, undo
from tubcare.services.household import POWER_PRICE, WATER_PRICE, change_setting, people
from tubcare.services.measures import MeterValue, add_dip, add_readings
from tubcare.services.meters import add_fill, add_meter_reading, delete_meter_reading
from tubcare.services.money import (
    DirectPurchase,
    StockPurchase,
    buy_stock,
    pay,
)
from tubcare.services.removal import (
    delete_dip,
    delete_fill,
    delete_person,
    delete_reading,
    delete_state_change,
    delete_supply,
    delete_tub,
    delete_use,
)
from tubcare.services.supplies import change_supply, new_supply, supplies, throw_away
from tubcare.services.tasks import open_key
from tubcare.services.upkeep_put_off import put_off
from tubcare.services.upkeep_steps import tick_step, untick_step
from tubcare.services.upkeep_tick import tick_off
from tubcare.store.unit import TABLES

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.support.clocks import StillClock
    from tubcare.values import CompletionId, EntryId, TaskId

DAY = date(2026, 5, 1)
DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"


def ids(desk: Desk, table: str) -> list[int]:
    return [row["id"] for row in facts(desk.store)[table]]


def tick(desk: Desk, task: TaskId) -> CompletionId:
    done = tick_off(desk, task, open_key(desk, task) or "").completion
    assert done is not None
    return done


def strips(desk: Desk) -> int:
    purchase = StockPurchase(
        on=DAY,
        supply="Strips",
        unit="piece",
        category=SpendCategory.TESTING,
        quantity_milli=50_000,
        minor=1000,
    )
    return buy_stock(desk, purchase)


def test_the_table_of_facts_names_every_table_and_no_other() -> None:
    text = DEVELOPERS.read_text(encoding="utf-8")
    rows = [line for line in text.splitlines() if line.startswith("| ") and "(`" in line]
    named = {row.split("(`", 1)[1].split("`", 1)[0] for row in rows}
    assert set(TABLES) - (NOT_FACTS - {"action", "reminder"}) <= named
    assert named <= set(TABLES)


def test_what_was_measured_can_be_taken_away_and_brought_back(desk: Desk) -> None:
    tub = add_tub(desk)
    add_dip(desk, tub, dips=3)
    add_readings(desk, tub, {"ph": 7.4})
    before = everything(desk.store)
    delete_dip(desk, ids(desk, "dip")[0])
    delete_reading(desk, ids(desk, "reading")[0])
    assert ids(desk, "dip") == ids(desk, "reading") == []
    undo(desk)
    undo(desk)
    assert_same(everything(desk.store), before)


def test_a_filling_takes_its_charge_along_unless_that_was_refunded(desk: Desk) -> None:
    change_setting(desk, WATER_PRICE, "4.10")
    add_fill(desk, add_tub(desk), 620)
    (fill,), (charge,) = ids(desk, "fill"), entries(desk, first=DAY, last=DAY)
    refund(desk, charge.id, on=DAY, minor=50)
    with pytest.raises(DependentFactError, match="entry of 2026-05-01"):
        delete_fill(desk, fill)
    undo(desk)
    delete_fill(desk, fill)
    assert entries(desk, first=DAY, last=DAY) == ()
    assert_books_hold(desk.store)


def test_a_refunded_power_charge_holds_its_readings(desk: Desk) -> None:
    change_setting(desk, POWER_PRICE, "0.32")
    tub = add_tub(desk)
    for on, shown in ((date(2026, 4, 1), 1000), (DAY, 101_000)):
        add_meter_reading(desk, tub, MeterValue(counter="kwh", value_milli=shown), on=on)
    (charge,) = entries(desk, first=DAY, last=DAY)
    refund(desk, charge.id, on=DAY, minor=charge.minor)
    for reading in ids(desk, "meter_reading"):
        with pytest.raises(DependentFactError, match="refund of 2026-05-01"):
            delete_meter_reading(desk, reading)
    between = MeterValue(counter="kwh", value_milli=50_000)
    with pytest.raises(DependentFactError, match="refund of 2026-05-01"):
        add_meter_reading(desk, tub, between, on=date(2026, 4, 15))


def test_an_opening_stays_while_work_was_recorded_for_it(desk: Desk) -> None:
    tub = add_tub(desk)
    task = add_task(desk, tub, scope="in_season", starts_on=date(2026, 3, 1))
    (opened,) = ids(desk, "state_change")
    assert open_key(desk, task) == f"open:{opened}"
    tick(desk, task)
    with pytest.raises(DependentFactError, match="completion “Swap the filter"):
        delete_state_change(desk, opened)
    undo(desk)
    delete_state_change(desk, opened)
    assert ids(desk, "state_change") == []


def test_deleting_a_completion_takes_along_what_hangs_on_it(desk: Desk, clock: StillClock) -> None:
    change_setting(desk, WATER_PRICE, "4.10")
    tub = add_tub(desk)
    task = add_task(desk, tub, usual_minor=500)
    before = everything(desk.store)
    completion = tick(desk, task)
    add_fill(desk, tub, 620, completion=completion)
    clock.go(days=30)
    key = open_key(desk, task) or ""
    put_off(desk, task, key, date(2026, 6, 10))
    tick_step(desk, task, key, 0)
    delete_completion(desk, completion)
    assert_same(everything(desk.store), before)
    undo(desk)
    assert ids(desk, "put_off")
    assert open_key(desk, task) == key


def test_a_completion_stays_while_its_amount_was_refunded(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk), usual_minor=500)
    completion = tick(desk, task)
    refund(desk, entries(desk, first=DAY, last=DAY)[0].id, on=DAY, minor=100)
    with pytest.raises(DependentFactError, match="entry “Swap the filter"):
        delete_completion(desk, completion)


def test_a_ticked_step_stays_once_its_occurrence_is_closed(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk))
    key = open_key(desk, task) or ""
    tick_step(desk, task, key, 0)
    ben = Desk(desk.store, desk.clock, "Ben")
    tick_off(ben, task, key)
    for work in (lambda: untick_step(desk, task, key, 0), lambda: undo(desk)):
        with pytest.raises(DependentFactError, match="completion “Swap the filter"):
            work()
    undo(ben)
    untick_step(desk, task, key, 0)
    assert ids(desk, "step_tick") == []


def test_a_use_and_a_stock_take_can_be_taken_away(desk: Desk) -> None:
    strips(desk)
    (supply,) = supplies(desk)
    throw_away(desk, supply.id, quantity_milli=10_000, on=DAY)
    delete_use(desk, ids(desk, "stock_use")[0])
    assert supplies(desk)[0].quantity_milli == 50_000
    assert_books_hold(desk.store)


def test_supplies_people_and_tubs_go_only_while_nothing_names_them(desk: Desk) -> None:
    tub = add_tub(desk)
    strips(desk)
    add_dip(desk, tub, person="Cai")
    (supply,) = supplies(desk)
    cai = next(person for person in people(desk) if person.name == "Cai")
    refused: tuple[Callable[[], None], ...] = (
        lambda: delete_supply(desk, supply.id),
        lambda: delete_person(desk, cai.id),
        lambda: delete_tub(desk, tub),
    )
    for work in refused:
        with pytest.raises(DependentFactError, match="2026"):
            work()
    delete_dip(desk, ids(desk, "dip")[0])
    delete_person(desk, cai.id)
    assert [person.name for person in people(desk)] == ["Ann"]


def test_redo_is_refused_when_somebody_else_took_the_name(desk: Desk) -> None:
    new_supply(desk, name="Cloth", unit="piece", category=SpendCategory.OTHER)
    undo(desk)
    ben = Desk(desk.store, desk.clock, "Ben")
    for name in ("Gloves", "Cloth"):
        new_supply(ben, name=name, unit="piece", category=SpendCategory.OTHER)
    with pytest.raises(DependentFactError, match=r"supply “(Gloves|Cloth)”"):
        redo(desk)


def test_an_undo_that_has_no_room_names_what_holds_it(desk: Desk, clock: StillClock) -> None:
    task = add_task(desk, add_tub(desk))
    delete_completion(desk, tick(desk, task))
    ben = Desk(desk.store, desk.clock, "Ben")
    clock.go(hours=1)
    tick(ben, task)
    with pytest.raises(DependentFactError, match="completion “Swap"):
        undo(desk)


def correct(desk: Desk, entry: EntryId, *, on: date, minor: int) -> None:
    change_entry(
        desk,
        entry,
        Correction(on=on, minor=minor, category=SpendCategory.REPAIRS),
    )


def test_an_amount_cannot_be_corrected_below_what_came_back(desk: Desk) -> None:
    bill = pay(desk, DirectPurchase(on=DAY, category=SpendCategory.REPAIRS, minor=1000))
    refund(desk, bill, on=DAY, minor=800)
    with pytest.raises(RuleError, match="more has come back"):
        correct(desk, bill, on=DAY, minor=700)
    with pytest.raises(InputError, match="after the refund"):
        correct(desk, bill, on=date(2026, 5, 2), minor=1000)


def test_a_supply_in_another_category_takes_its_past_along(desk: Desk) -> None:
    strips(desk)
    (supply,) = supplies(desk)
    throw_away(desk, supply.id, quantity_milli=10_000, on=DAY)
    change_supply(desk, replace(supply, category=SpendCategory.CHEMICALS))
    assert_books_hold(desk.store)


def test_a_name_that_is_taken_is_refused_with_the_way_out(desk: Desk) -> None:
    strips(desk)
    new_supply(desk, name="Cloth", unit="piece", category=SpendCategory.OTHER)
    cloth = next(s for s in supplies(desk) if s.name == "Cloth")
    with pytest.raises(InputError, match="choose another name"):
        change_supply(desk, replace(cloth, name=" strips "))
    add_dip(desk, add_tub(desk), person=" Ann ")
    assert [person.name for person in people(desk)] == ["Ann"]
