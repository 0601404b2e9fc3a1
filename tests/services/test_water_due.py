"""Readings bring upkeep due, doses suppress it, a new test brings it back or clears it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.support.dosing import HIGH_PH, IN_RANGE, TAP, due, when
from tests.support.plans import START, add_task
from tubcare.services.measures import add_readings
from tubcare.services.supplies import use_up
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.water_do import do_step
from tubcare.services.water_entry import Entry, add_test
from tubcare.services.water_kit import change_kit, tub_kit
from tubcare.services.water_now import water_now
from tubcare.services.water_plan import water_plan
from tubcare.services.water_shelf import put_product
from tubcare.services.water_sources import choose_source, put_source
from tubcare.services.week import DueItem, this_week
from tubcare.water.compounds import Compound
from tubcare.water.plan_model import StepKind
from tubcare.water.products import usual_product

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId, TaskId, TubId


def test_a_reading_out_of_range_is_due_at_once_with_its_worked_out_dose(
    desk: Desk, tub: TubId, correct: TaskId
) -> None:
    assert correct not in due(desk)
    add_readings(desk, tub, HIGH_PH)
    item = due(desk)[correct]
    planned = [each.step for each in water_plan(desk, tub).steps]
    assert list(item.to_add) == planned
    assert {step.kind for step in item.to_add} == {StepKind.ACID}
    assert any("chlorine gas" in caution for caution in item.cautions)


def test_a_dose_for_which_the_shelf_holds_too_little_says_so(
    desk: Desk, tub: TubId, correct: TaskId, acid: SupplyId
) -> None:
    add_readings(desk, tub, HIGH_PH)
    assert due(desk)[correct].lacks == ()
    use_up(desk, acid, quantity_milli=999_000, on=START)
    item = due(desk)[correct]
    (note,) = item.lacks
    assert (note.supply, note.left_milli, note.takes_milli) == (acid, 1000, item.takes[acid])
    ticked = tick_off(desk, correct, item.occurrence.key)
    assert ticked.uses == item.takes
    assert ticked.lacked == (note,)


def test_a_retest_falls_due_after_the_wait_and_a_good_reading_clears_both(
    desk: Desk, tub: TubId, correct: TaskId, retest: TaskId, clock: StillClock
) -> None:
    add_readings(desk, tub, HIGH_PH)
    do_step(desk, tub, 1)
    assert correct not in due(desk), "the wait after a dose suppresses"
    assert retest not in due(desk)
    wait = water_now(desk, tub).step_in.waiting
    assert wait is not None
    clock.at += wait + timedelta(minutes=1)
    assert retest in due(desk)
    add_readings(desk, tub, IN_RANGE)
    assert not {correct, retest} & set(due(desk))


def test_a_bad_reading_after_the_wait_brings_the_work_back(
    desk: Desk, tub: TubId, correct: TaskId, retest: TaskId, clock: StillClock
) -> None:
    add_readings(desk, tub, HIGH_PH)
    for each in water_plan(desk, tub).steps:
        do_step(desk, tub, each.number)
    clock.go(hours=30)
    add_readings(desk, tub, {**HIGH_PH, "ph": 7.95})
    assert correct in due(desk)
    assert retest not in due(desk)


def test_a_low_ph_is_due_with_the_bicarbonate_that_raises_it(desk: Desk, tub: TubId) -> None:
    add_task(desk, tub, title="Correct the pH", triggers=when("ph outside range"))
    put_product(desk, replace(usual_product(Compound.SODIUM_BICARBONATE), name="Bicarbonate"))
    add_readings(desk, tub, {**HIGH_PH, "ph": 6.4, "alkalinity_mg_l": 12.0})
    (item,) = this_week(desk).due_today
    assert isinstance(item, DueItem)
    assert {step.kind for step in item.to_add} == {StepKind.RAISE_ALKALINITY}


def test_combined_chlorine_is_due_with_the_fresh_water_that_ends_it(
    desk: Desk, tub: TubId
) -> None:
    add_task(
        desk, tub, title="Clear it", triggers=when("combined_chlorine_mg_l > range"), supplies={}
    )
    put_source(desk, "Tap", TAP, tested_on=date(2026, 4, 1))
    choose_source(desk, tub, "Tap")
    add_readings(desk, tub, {**IN_RANGE, "total_chlorine_mg_l": 3.0})
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
