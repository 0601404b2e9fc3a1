"""Readings bring upkeep due, doses suppress it, a new test brings it back or clears it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import select

from tests.support.books import assert_books_hold
from tests.support.dump import facts
from tests.support.plans import START, add_task, add_tub
from tubcare.care.profile import profile_to_data
from tubcare.care.reasons import ReadingReason
from tubcare.errors import RuleError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.amending import amend_completion
from tubcare.services.history import undo
from tubcare.services.liner_exposure import liner_exposure
from tubcare.services.measures import add_dip, add_readings
from tubcare.services.meters import add_fill
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.supplies import supplies, use_up
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.upkeep_work import record_work
from tubcare.services.water_do import do_step
from tubcare.services.water_entry import Entry, add_test
from tubcare.services.water_kit import change_kit, tub_kit
from tubcare.services.water_now import water_now
from tubcare.services.water_plan import water_plan
from tubcare.services.water_shelf import put_product
from tubcare.services.water_sources import choose_source, put_source
from tubcare.services.water_wear import water_wear
from tubcare.services.week import DueItem, this_week
from tubcare.store.tables import CompletionRow, DoseRow, TaskRow, TubRow, UseRow
from tubcare.store.unit import table_of
from tubcare.values import Liner, TubProfile
from tubcare.water.change import ChangeReason
from tubcare.water.compounds import Compound
from tubcare.water.plan_model import StepKind
from tubcare.water.products import usual_product
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId, TaskId, TubId

BAD = {"ph": 8.1, "free_chlorine_mg_l": 2.0, "alkalinity_mg_l": 70.0, "water_c": 6.0}
GOOD = {**BAD, "ph": 7.4}


@pytest.fixture
def tub(desk: Desk) -> TubId:
    return add_tub(desk)


@pytest.fixture
def acid(desk: Desk) -> SupplyId:
    product = replace(usual_product(Compound.SODIUM_BISULFATE), name="pH minus")
    supply = put_product(desk, product)
    buy_stock(
        desk,
        StockPurchase(
            on=date(2026, 4, 2),
            supply="pH minus",
            unit="g",
            category=SpendCategory.CHEMICALS,
            quantity_milli=1_000_000,
            minor=1000,
        ),
    )
    return supply


def when(text: str) -> list[dict[str, str]]:
    return [{"kind": "reading", "when": text}]


@pytest.fixture
def correct(desk: Desk, tub: TubId, acid: SupplyId) -> TaskId:
    return add_task(
        desk,
        tub,
        title="Correct the pH",
        category="water",
        triggers=when("ph outside range"),
        supplies={acid: 5_000},
    )


@pytest.fixture
def retest(desk: Desk, tub: TubId) -> TaskId:
    triggers = when("untested_doses >= 1")
    return add_task(desk, tub, title="Test again", category="water", triggers=triggers)


def due(desk: Desk) -> dict[TaskId, DueItem]:
    week = this_week(desk)
    return {item.task: item for item in (*week.late, *week.due_today)}


def test_a_reading_out_of_range_is_due_at_once_with_its_worked_out_dose(
    desk: Desk, tub: TubId, correct: TaskId
) -> None:
    assert correct not in due(desk)
    add_readings(desk, tub, BAD)
    item = due(desk)[correct]
    planned = [each.step for each in water_plan(desk, tub).steps]
    assert list(item.to_add) == planned
    assert {step.kind for step in item.to_add} == {StepKind.ACID}
    assert any("chlorine gas" in caution for caution in item.cautions)


def test_a_dose_for_which_the_shelf_holds_too_little_says_so(
    desk: Desk, tub: TubId, correct: TaskId, acid: SupplyId
) -> None:
    add_readings(desk, tub, BAD)
    assert due(desk)[correct].lacks == ()
    use_up(desk, acid, quantity_milli=999_000, on=START)
    item = due(desk)[correct]
    (note,) = item.lacks
    assert (note.supply, note.left_milli, note.takes_milli) == (acid, 1000, item.takes[acid])
    ticked = tick_off(desk, correct, item.occurrence.key)
    assert ticked.uses == item.takes
    assert ticked.lacked == (note,)


def test_work_that_put_a_dose_into_the_water_stays_on_its_day(
    desk: Desk, tub: TubId, correct: TaskId
) -> None:
    add_readings(desk, tub, BAD)
    ticked = tick_off(desk, correct, due(desk)[correct].occurrence.key)
    assert ticked.completion is not None
    before = facts(desk.store)
    with pytest.raises(RuleError, match=r"a dose .* delete this record"):
        amend_completion(desk, ticked.completion, Work(on=ticked.on - timedelta(days=1)))
    assert facts(desk.store) == before


def test_a_tick_in_this_week_records_the_worked_out_dose_and_not_the_usual_one(
    desk: Desk, tub: TubId, correct: TaskId, acid: SupplyId
) -> None:
    add_readings(desk, tub, BAD)
    item = due(desk)[correct]
    grams = sum(step.portion.amount for step in item.to_add if step.portion is not None)
    before = facts(desk.store)
    ticked = tick_off(desk, correct, item.occurrence.key)
    assert ticked.uses[acid] == pytest.approx(grams * 1000, abs=2)
    assert supplies(desk)[0].quantity_milli == 1_000_000 - ticked.uses[acid]
    with desk.read() as connection:
        doses = connection.execute(table_of(DoseRow).select()).all()
        uses = connection.execute(table_of(UseRow).select()).all()
    assert {row.completion_id for row in (*doses, *uses)} == {ticked.completion}
    assert_books_hold(desk.store)
    undo(desk)
    assert facts(desk.store) == before


def test_a_retest_falls_due_after_the_wait_and_a_good_reading_clears_both(
    desk: Desk, tub: TubId, correct: TaskId, retest: TaskId, clock: StillClock
) -> None:
    add_readings(desk, tub, BAD)
    do_step(desk, tub, 1)
    assert correct not in due(desk), "the wait after a dose suppresses"
    assert retest not in due(desk)
    wait = water_now(desk, tub).step_in.waiting
    assert wait is not None
    clock.at += wait + timedelta(minutes=1)
    assert retest in due(desk)
    add_readings(desk, tub, GOOD)
    assert not {correct, retest} & set(due(desk))


def test_a_bad_reading_after_the_wait_brings_the_work_back(
    desk: Desk, tub: TubId, correct: TaskId, retest: TaskId, clock: StillClock
) -> None:
    add_readings(desk, tub, BAD)
    for each in water_plan(desk, tub).steps:
        do_step(desk, tub, each.number)
    clock.go(hours=30)
    add_readings(desk, tub, {**BAD, "ph": 7.95})
    assert correct in due(desk)
    assert retest not in due(desk)


@pytest.mark.usefixtures("retest")
def test_the_last_step_that_a_task_asks_for_ticks_it_off_once(
    desk: Desk, tub: TubId, correct: TaskId
) -> None:
    add_readings(desk, tub, BAD)
    numbers = [each.number for each in water_plan(desk, tub).steps]
    table = table_of(CompletionRow)
    for number in numbers[:-1]:
        do_step(desk, tub, number)
    with desk.read() as connection:
        assert connection.execute(table.select()).first() is None
    assert len(numbers) > 1
    do_step(desk, tub, numbers[-1])
    with desk.read() as connection:
        rows = connection.execute(table.select()).all()
    assert [row.task_id for row in rows] == [correct]


def test_a_single_step_ticks_off_its_task_with_the_dose_as_its_work(
    desk: Desk, tub: TubId, correct: TaskId
) -> None:
    add_readings(desk, tub, {**BAD, "ph": 7.9})
    assert len(water_plan(desk, tub).steps) == 1
    assert correct in due(desk)
    do_step(desk, tub, 1)
    with desk.read() as connection:
        done = connection.execute(table_of(CompletionRow).select()).one()
        dose = connection.execute(table_of(DoseRow).select()).one()
    assert done.task_id == correct
    assert dose.completion_id == done.id


def test_a_step_dated_back_dates_its_task_back(
    desk: Desk, tub: TubId, correct: TaskId, clock: StillClock
) -> None:
    add_readings(desk, tub, {**BAD, "ph": 7.9})
    clock.go(days=2)
    do_step(desk, tub, 1, on=date(2026, 5, 2))
    with desk.read() as connection:
        done = connection.execute(table_of(CompletionRow).select()).one()
    assert (done.task_id, done.on_date) == (correct, date(2026, 5, 2))
    assert correct not in due(desk)


@pytest.mark.parametrize(("on", "doses"), [(date(2026, 5, 2), 1), (date(2026, 4, 30), 0)])
def test_a_tick_of_an_earlier_day_records_the_worked_out_dose_unless_it_is_before_the_test(
    desk: Desk, tub: TubId, correct: TaskId, clock: StillClock, on: date, doses: int
) -> None:
    add_readings(desk, tub, {**BAD, "ph": 7.9})
    clock.go(days=2)
    tick_off(desk, correct, due(desk)[correct].occurrence.key, Work(on=on))
    with desk.read() as connection:
        found = connection.execute(table_of(DoseRow).select()).all()
        used = connection.execute(table_of(UseRow).select()).all()
    assert [row.on_date for row in found] == [on] * doses
    assert [row.on_date for row in used] == [on]


def test_the_change_of_water_is_weighed_by_bathers_salts_cyanurate_and_age(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_fill(desk, tub, 400)
    clock.go(days=30)
    add_dip(desk, tub, dips=20)
    add_readings(desk, tub, {**GOOD, "cyanurate_mg_l": 15.0, "tds_mg_l": 300.0})
    weights = {each.reason: each.share for each in water_wear(desk, tub).advice.weights}
    # 20 dips of 4 L in 400 L; 30 of 61 days; 15 of 20 mg/L; 300 of 1500 mg/L.
    assert weights[ChangeReason.BATHERS] == pytest.approx(0.2)
    assert weights[ChangeReason.AGE] == pytest.approx(30 / 61, abs=0.01)
    assert weights[ChangeReason.CYANURIC_ACID] == pytest.approx(0.75)
    assert weights[ChangeReason.DISSOLVED_SOLIDS] == pytest.approx(0.2)
    assert next(iter(weights)) is ChangeReason.CYANURIC_ACID


@pytest.mark.parametrize(("dips", "values"), [(110, GOOD), (1, {**GOOD, "cyanurate_mg_l": 25.0})])
def test_any_weight_that_is_full_makes_the_change_due_and_fresh_water_clears_it(
    desk: Desk, tub: TubId, clock: StillClock, dips: int, values: dict[str, float]
) -> None:
    task = add_task(
        desk,
        tub,
        title="Change the water",
        category="water",
        triggers=when("water_wear_percent >= 100"),
    )
    add_fill(desk, tub, 400)
    clock.go(days=2)
    add_dip(desk, tub)
    assert task not in due(desk)
    add_dip(desk, tub, dips=dips)
    add_readings(desk, tub, values)
    assert task in due(desk)
    clock.go(hours=2)
    add_fill(desk, tub, 400)
    add_readings(desk, tub, GOOD)
    add_readings(desk, tub, {"cyanurate_mg_l": 0.0})
    assert task not in due(desk)


def test_age_that_came_after_the_newest_fact_is_not_told_as_of_its_day(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    task = add_task(desk, tub, category="water", triggers=when("water_wear_percent >= 100"))
    add_fill(desk, tub, 400)
    clock.go(days=50)
    add_dip(desk, tub)
    clock.go(days=100)
    assert water_wear(desk, tub).advice.due
    assert task not in due(desk)


@pytest.fixture
def metal(desk: Desk) -> TubId:
    tub = add_tub(desk, name="Shore")
    profile = TubProfile(name="Shore", zone="Europe/Helsinki", liner=Liner.ALUMINIUM)
    with desk.write("change_profile", "Shore", frozenset()) as unit:
        unit.change(TubRow, tub, profile=profile_to_data(profile))
    return tub


def inspection(desk: Desk, tub: TubId) -> TaskId:
    return add_task(
        desk,
        tub,
        title="Inspect the liner",
        category="liner",
        triggers=[
            {"kind": "elapsed", "every": 2, "period": "month"},
            *when("liner_exposure_percent >= 100"),
        ],
        starts_on=START,
    )


def test_water_outside_the_liners_window_brings_the_inspection_forward(
    desk: Desk, metal: TubId, clock: StillClock
) -> None:
    task = inspection(desk, metal)
    for _day in range(8):
        add_readings(desk, metal, {**GOOD, "ph": 8.9})
        clock.go(days=3)
    found = due(desk)[task]
    assert isinstance(found.occurrence.reason, ReadingReason)
    assert found.occurrence.due_on < date(2026, 6, 1)


def test_water_inside_the_window_leaves_the_inspection_where_it_is(
    desk: Desk, metal: TubId, clock: StillClock
) -> None:
    task = inspection(desk, metal)
    clock.set(START)
    for _day in range(15):
        add_readings(desk, metal, {**GOOD, "ph": 7.2})
        clock.go(days=3)
    assert task not in due(desk)


def test_exposure_counts_gaps_as_unknown_and_says_how_far_the_water_was_outside(
    desk: Desk, metal: TubId, clock: StillClock
) -> None:
    clock.set(START)
    add_readings(desk, metal, {**GOOD, "ph": 8.7})
    clock.go(days=2)
    add_readings(desk, metal, {**GOOD, "ph": 8.7})
    clock.go(days=20)
    found = liner_exposure(desk, metal)
    assert found.exposure is not None
    assert not found.inspected
    # Two days half a unit above 8.2, then nothing known.
    assert found.exposure.ph.days_above == pytest.approx(2.0, abs=0.01)
    assert found.exposure.ph.above == pytest.approx(1.0, abs=0.01)
    assert found.exposure.ph.unknown_days == pytest.approx(20.5, abs=0.6)
    assert found.exposure.inspection_share < 1.0


def test_a_low_ph_is_due_with_the_bicarbonate_that_raises_it(desk: Desk, tub: TubId) -> None:
    add_task(desk, tub, title="Correct the pH", triggers=when("ph outside range"))
    put_product(desk, replace(usual_product(Compound.SODIUM_BICARBONATE), name="Bicarbonate"))
    add_readings(desk, tub, {**BAD, "ph": 6.4, "alkalinity_mg_l": 12.0})
    (item,) = this_week(desk).due_today
    assert isinstance(item, DueItem)
    assert {step.kind for step in item.to_add} == {StepKind.RAISE_ALKALINITY}


def test_a_tick_for_which_nothing_was_worked_out_takes_nothing_usual(
    desk: Desk, tub: TubId, correct: TaskId
) -> None:
    """A low pH with only acid on the shelf: its usual 5 g must not count as added."""
    add_readings(desk, tub, {**BAD, "ph": 6.4, "alkalinity_mg_l": 12.0})
    item = due(desk)[correct]
    assert item.to_add == ()
    tick_off(desk, correct, item.occurrence.key)
    with desk.read() as connection:
        assert connection.execute(select(table_of(UseRow))).all() == []


def test_combined_chlorine_is_due_with_the_fresh_water_that_ends_it(
    desk: Desk, tub: TubId
) -> None:
    add_task(
        desk, tub, title="Clear it", triggers=when("combined_chlorine_mg_l > range"), supplies={}
    )
    test = WaterTest(water_c=10.0, ph=7.6, alkalinity_mg_l=45.0, calcium_mg_l=40.0)
    put_source(desk, "Tap", test, tested_on=date(2026, 4, 1))
    choose_source(desk, tub, "Tap")
    add_readings(desk, tub, {**GOOD, "total_chlorine_mg_l": 3.0})
    (item,) = this_week(desk).due_today
    assert isinstance(item, DueItem)
    (step,) = (each for each in item.to_add if each.kind is StepKind.CHANGE_WATER)
    # From 1 mg/L to nine tenths of the limit of 0.5, of 400 L.
    assert step.change_l == pytest.approx(0.55 * 400.0)


def test_a_strips_colour_that_reaches_across_the_limit_asks_for_nothing(
    desk: Desk, tub: TubId
) -> None:
    add_task(desk, tub, title="Correct the pH", triggers=when("ph outside range"))
    pads = {"ph": (6.2, 6.8, 7.2, 7.6, 8.0, 8.4)}
    change_kit(desk, tub, replace(tub_kit(desk, tub), strips=pads))
    add_test(desk, tub, Entry(colours={"ph": 1}))
    assert this_week(desk).due_today == ()
    add_test(desk, tub, Entry(colours={"ph": 0}))
    assert [item.title for item in this_week(desk).due_today] == ["Correct the pH"]


def test_an_odd_reading_leaves_the_list_of_the_week_standing(desk: Desk, tub: TubId) -> None:
    task = add_task(
        desk,
        tub,
        title="Correct the pH",
        triggers=[{"kind": "reading", "when": "ph outside range"}],
    )
    add_readings(desk, tub, {"ph": 0.0})
    (item,) = this_week(desk).due_today
    assert (item.task, item.to_add) == (task, ())


def test_much_topped_up_under_a_lid_asks_for_a_look_at_the_level(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    triggers = when("top_up_week_percent > 3")
    task = add_task(desk, tub, title="Check the level", category="water", triggers=triggers)
    add_fill(desk, tub, 10, kind="top_up")
    assert task not in due(desk)
    add_fill(desk, tub, 10, kind="top_up")
    assert task in due(desk)
    assert water_wear(desk, tub).topped_up_week_l == 20
    clock.go(hours=1)
    tick_off(desk, task, due(desk)[task].occurrence.key)
    clock.go(hours=1)
    assert task not in due(desk), "a look is not asked for twice"
    add_fill(desk, tub, 1, kind="top_up")
    assert task in due(desk)


def test_ticking_the_change_of_water_counts_as_one_without_litres(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_fill(desk, tub, 400)
    clock.go(days=40)
    add_dip(desk, tub, dips=60)
    assert water_wear(desk, tub).advice.weights[0].share > 0.5
    task = add_task(desk, tub, title="Change the water", category="water")
    with desk.write("change_task", "Change the water", frozenset()) as unit:
        unit.change(TaskRow, task, template_key="water.change")
    record_work(desk, task, Work(), restarts=True)
    clock.go(days=1)
    assert water_wear(desk, tub).advice.weights[0].share < 0.1
