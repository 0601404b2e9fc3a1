"""Deleting a dose: what it took off the shelf and its tick in the plan go with it."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import select, update

from tests.support.books import assert_books_hold
from tests.support.dump import assert_same, everything, facts
from tests.support.plans import add_task, add_tub
from tubcare.ledger.categories import SpendCategory
from tubcare.services.amending import amend_completion, recorded
from tubcare.services.completions import delete_completion
from tubcare.services.history import undo
from tubcare.services.household import WATER_PRICE, change_setting
from tubcare.services.measures import add_readings
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.records import Record, RecordKind, delete_record, recent_records
from tubcare.services.supplies import supplies, use_up
from tubcare.services.tasks import open_key
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.water_do import do_step
from tubcare.services.water_dose import add_dose
from tubcare.services.water_now import water_now
from tubcare.services.water_plan import water_plan
from tubcare.services.water_shelf import put_product
from tubcare.services.water_sources import put_source
from tubcare.store.tables import ActionRow, CompletionRow
from tubcare.store.unit import table_of
from tubcare.values import CompletionId
from tubcare.water.compounds import Compound
from tubcare.water.products import usual_product
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

BAD = {"ph": 7.9, "free_chlorine_mg_l": 1.5, "alkalinity_mg_l": 60.0, "water_c": 6.0}
BOUGHT_MILLI = 1_000_000


@pytest.fixture
def tub(desk: Desk) -> TubId:
    put_product(desk, replace(usual_product(Compound.SODIUM_BISULFATE), name="pH minus"))
    purchase = StockPurchase(
        on=date(2026, 4, 2),
        supply="pH minus",
        unit="g",
        category=SpendCategory.CHEMICALS,
        quantity_milli=BOUGHT_MILLI,
        minor=1000,
    )
    buy_stock(desk, purchase)
    return add_tub(desk)


def doses(desk: Desk, tub: TubId) -> list[Record]:
    return [each for each in recent_records(desk, tub) if each.kind is RecordKind.DOSE]


def left_milli(desk: Desk) -> int:
    return supplies(desk)[0].quantity_milli


def test_a_deleted_dose_gives_stock_and_cost_back_and_ends_its_wait(
    desk: Desk, tub: TubId
) -> None:
    before = everything(desk.store)
    add_dose(desk, tub, "pH minus", 20.0)
    (dose,) = doses(desk, tub)
    assert left_milli(desk) == BOUGHT_MILLI - 20_000
    delete_record(desk, dose)
    assert_same(
        {name: rows for name, rows in everything(desk.store).items() if name != "person"},
        {name: rows for name, rows in before.items() if name != "person"},
    )
    assert water_now(desk, tub).wait_until is None


def test_undo_brings_a_deleted_dose_back_with_its_use_and_its_tick(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, BAD)
    do_step(desk, tub, 1)
    before = everything(desk.store)
    delete_record(desk, doses(desk, tub)[0])
    assert water_plan(desk, tub).steps[0].done is None
    assert left_milli(desk) == BOUGHT_MILLI
    undo(desk)
    assert_same(everything(desk.store), before)


def test_of_two_equal_doses_and_a_use_beside_them_one_dose_goes(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    use_up(desk, supplies(desk)[0].id, quantity_milli=20_000, on=date(2026, 5, 1))
    add_dose(desk, tub, "pH minus", 20.0)
    clock.go(hours=1)
    add_dose(desk, tub, "pH minus", 20.0)
    newest, oldest = doses(desk, tub)
    delete_record(desk, newest)
    assert doses(desk, tub) == [oldest]
    assert left_milli(desk) == BOUGHT_MILLI - 40_000
    assert_books_hold(desk.store)


def test_a_completion_is_deleted_with_the_dose_and_the_step_that_were_its_work(
    desk: Desk, tub: TubId
) -> None:
    triggers = [{"kind": "reading", "when": "ph outside range"}]
    add_task(desk, tub, title="Correct the pH", category="water", triggers=triggers)
    add_readings(desk, tub, BAD)
    before = everything(desk.store)
    do_step(desk, tub, 1)
    with desk.read() as connection:
        done = connection.execute(select(table_of(CompletionRow).c.id)).scalar_one()
    delete_completion(desk, CompletionId(done))
    assert_same(everything(desk.store), before)


def test_a_dose_in_portions_is_amended_as_one_amount(desk: Desk, tub: TubId) -> None:
    triggers = [{"kind": "reading", "when": "ph outside range"}]
    task = add_task(desk, tub, title="Correct the pH", category="water", triggers=triggers)
    add_readings(desk, tub, {**BAD, "ph": 8.3})
    done = tick_off(desk, task, open_key(desk, task) or "").completion
    assert done is not None
    assert len(doses(desk, tub)) > 1
    supply = supplies(desk)[0].id
    assert recorded(desk, done).uses == {supply: BOUGHT_MILLI - left_milli(desk)}
    amend_completion(desk, done, Work(uses={supply: 30_000}))
    assert left_milli(desk) == BOUGHT_MILLI - 30_000
    assert_books_hold(desk.store)


def test_a_completion_is_deleted_with_the_change_of_water_that_was_its_work(
    desk: Desk, tub: TubId
) -> None:
    change_setting(desk, WATER_PRICE, "4.00")
    triggers = [{"kind": "reading", "when": "cyanurate_mg_l outside range"}]
    add_task(desk, tub, title="Fresh water", category="water", triggers=triggers)
    fill = {"water_c": 10.0, "ph": 7.4, "alkalinity_mg_l": 60.0, "calcium_mg_l": 40.0}
    put_source(desk, "tap", WaterTest(**fill), tested_on=date(2026, 4, 1))
    add_readings(desk, tub, {**BAD, "ph": 7.4, "cyanurate_mg_l": 90.0})
    before = everything(desk.store)
    do_step(desk, tub, 1)
    with desk.read() as connection:
        done = connection.execute(select(table_of(CompletionRow).c.id)).scalar_one()
    delete_completion(desk, CompletionId(done))
    assert_same(everything(desk.store), before)


@pytest.mark.usefixtures("tub")
def test_what_an_older_version_wrote_down_can_still_be_taken_back(desk: Desk) -> None:
    before = facts(desk.store)
    use_up(desk, supplies(desk)[0].id, quantity_milli=5_000, on=date(2026, 5, 1))
    action = table_of(ActionRow)
    with desk.write_unremembered(frozenset()) as unit:
        row = unit.connection.execute(select(action).order_by(action.c.id.desc()).limit(1)).one()
        kept = json.loads(json.dumps(row.changes))
        for _table, _id, _before, after in kept:
            after.pop("dose_id", None)
        unit.connection.execute(update(action).where(action.c.id == row.id).values(changes=kept))
    undo(desk)
    assert facts(desk.store) == before
