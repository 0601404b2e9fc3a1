"""Readings belong to the water that they were read of; a closed tub has none."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.support.dosing import HIGH_PH_LOW_CHLORINE, put_on_shelf
from tests.support.plans import START, add_task, add_tub
from tubcare.care.model import TubState
from tubcare.services.liner_exposure import liner_exposure
from tubcare.services.measures import add_readings
from tubcare.services.meters import add_fill
from tubcare.services.tubs import enter_state
from tubcare.services.water_course import next_test_of, water_course
from tubcare.services.water_do import do_step
from tubcare.services.water_dose import add_dose
from tubcare.services.water_now import water_now
from tubcare.services.water_plan import water_plan
from tubcare.services.water_plan_model import PlanState
from tubcare.services.water_wear import water_wear
from tubcare.services.week import this_week
from tubcare.water.change import ChangeReason
from tubcare.water.compounds import Compound
from tubcare.water.judged import Standing
from tubcare.water.ranges import Quantity
from tubcare.water.strips import Source

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


def share(desk: Desk, tub: TubId, reason: ChangeReason) -> float | None:
    weights = water_wear(desk, tub).advice.weights
    return next((each.share for each in weights if each.reason is reason), None)


def test_a_closed_tub_has_no_water_to_step_into_or_to_dose(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    enter_state(desk, tub, TubState.CLOSED, desk.today("Europe/Helsinki"))
    found = water_now(desk, tub)
    assert found.step_in.drained
    assert found.index is None
    assert water_course(desk, tub).next_test is None
    assert all(day.expected is None for day in water_course(desk, tub).days)
    assert water_plan(desk, tub).state is PlanState.DRAINED
    assert water_plan(desk, tub).steps == ()


def test_a_dry_winter_does_nothing_to_the_liner(desk: Desk, tub: TubId, clock: StillClock) -> None:
    clock.set(START + timedelta(days=30))
    enter_state(desk, tub, TubState.CLOSED, desk.today("Europe/Helsinki"))
    found = []
    for _look in range(2):
        exposure = liner_exposure(desk, tub).exposure
        assert exposure is not None
        found.append(exposure.ph.unknown_days)
        clock.go(days=150)
    assert found[0] == found[1] == pytest.approx(30.0, abs=1.0)


def test_the_age_of_the_water_counts_from_the_opening_where_no_fill_is_on_record(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    clock.set(START + timedelta(days=30))
    age = share(desk, tub, ChangeReason.AGE)
    assert age == pytest.approx(30.5 / 61.0, abs=0.02)


def test_a_pause_is_no_new_filling(desk: Desk, tub: TubId, clock: StillClock) -> None:
    for days, state in ((10, TubState.PAUSED), (20, TubState.OPEN)):
        clock.set(START + timedelta(days=days))
        enter_state(desk, tub, state, START + timedelta(days=days))
    clock.set(START + timedelta(days=30))
    assert share(desk, tub, ChangeReason.AGE) == pytest.approx(0.5, abs=0.02)
    since = liner_exposure(desk, tub).since
    assert since is not None
    assert since.date() in {START, START - timedelta(days=1)}


def test_a_test_from_before_a_tub_was_written_down_counts(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    """Its first opening on record need not be a filling."""
    clock.set(START + timedelta(days=1))
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE, on=START - timedelta(days=2))
    assert water_plan(desk, tub).state is not PlanState.NO_TEST
    assert water_now(desk, tub).step_in.outside == 2


def test_where_nobody_knows_since_when_the_water_is_in_no_age_is_told(desk: Desk) -> None:
    tub = add_tub(desk, name="South", opened=None)
    assert share(desk, tub, ChangeReason.AGE) is None


def test_what_was_read_before_all_water_was_changed_says_nothing_of_the_new(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, {**HIGH_PH_LOW_CHLORINE, "cyanurate_mg_l": 60.0})
    clock.go(days=1)
    add_fill(desk, tub, 400.0, kind="change")
    found = {each.quantity: each.standing for each in water_now(desk, tub).judged}
    assert set(found.values()) == {Standing.UNKNOWN}
    assert water_plan(desk, tub).state is PlanState.NO_TEST
    assert share(desk, tub, ChangeReason.CYANURIC_ACID) is None


def test_new_water_clears_what_the_readings_of_the_old_asked_for(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    ph = [{"kind": "reading", "when": "ph outside range"}]
    add_task(desk, tub, title="Correct the pH", triggers=ph)
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    clock.go(days=1)
    add_fill(desk, tub, 40.0, kind="change")
    week = this_week(desk)
    assert [item.title for item in (*week.late, *week.due_today)] == ["Correct the pH"]
    add_fill(desk, tub, 400.0, kind="change")
    week = this_week(desk)
    assert (week.late, week.due_today) == ((), ())


def test_a_reading_of_the_autumn_asks_for_nothing_at_the_opening(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    ph = [{"kind": "reading", "when": "ph outside range"}]
    add_task(desk, tub, title="Correct the pH", triggers=ph, scope="in_season")
    clock.set(date(2026, 10, 20))
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    enter_state(desk, tub, TubState.CLOSED, date(2026, 10, 20))
    clock.set(date(2027, 4, 20))
    enter_state(desk, tub, TubState.OPEN, date(2027, 4, 20))
    week = this_week(desk)
    assert (week.late, week.due_today) == ((), ())


def test_part_of_the_water_leaves_the_readings_and_says_that_they_came_before(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    assert water_now(desk, tub).step_in.added is None
    clock.go(days=1)
    add_fill(desk, tub, 100.0, kind="change")
    clock.go(hours=2)
    found = water_now(desk, tub)
    assert found.step_in.added == timedelta(hours=2)
    ph = next(each for each in found.judged if each.quantity is Quantity.PH)
    assert ph.standing is Standing.ABOVE


def test_a_dose_after_the_test_is_told_until_the_next_test(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    put_on_shelf(desk, "pH minus", Compound.SODIUM_BISULFATE)
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    clock.go(hours=1)
    do_step(desk, tub, 1)
    clock.go(hours=6)
    assert water_now(desk, tub).step_in.added == timedelta(hours=6)
    add_readings(desk, tub, {**HIGH_PH_LOW_CHLORINE, "ph": 7.4})
    assert water_now(desk, tub).step_in.added is None


def test_ice_that_was_noted_forbids_dosing_until_it_is_noted_as_gone(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    put_on_shelf(desk, "pH minus", Compound.SODIUM_BISULFATE)
    add_readings(desk, tub, {**HIGH_PH_LOW_CHLORINE, "ice": 2.0})
    clock.go(days=1)
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    assert water_plan(desk, tub).state is PlanState.FROZEN
    add_readings(desk, tub, {"ice": 0.0})
    assert water_plan(desk, tub).state is PlanState.STEPS


def test_cyanurate_from_dosing_weighs_on_the_water_though_nobody_tests_for_it(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    put_on_shelf(desk, "Dichlor", Compound.DICHLOR_DIHYDRATE)
    for _ in range(20):
        clock.go(days=1)
        add_dose(desk, tub, "Dichlor", 1.5)
    clock.go(hours=2)
    add_readings(desk, tub, {**HIGH_PH_LOW_CHLORINE, "free_chlorine_mg_l": 2.0})
    # 30 g of 99 % dichlor dihydrate in 400 L: 74.3 mg/L, half of it (129.1 / 255.9) cyanurate.
    level = share(desk, tub, ChangeReason.CYANURIC_ACID)
    assert level == pytest.approx(30.0 * 0.99 * 129.07 / 255.98 / 0.4 / 20.0, rel=0.01)
    found = water_now(desk, tub)
    assert Source.CARRIED in {each.source for each in found.assumed}
    assert found.active is not None
    assert found.active.hocl_mg_l < 0.1


def test_a_plan_does_not_move_while_its_own_steps_are_ticked(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    put_on_shelf(desk, "pH minus", Compound.SODIUM_BISULFATE)
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    before = [each.step for each in water_plan(desk, tub).steps]
    clock.go(hours=1)
    do_step(desk, tub, 1)
    assert [each.step for each in water_plan(desk, tub).steps] == before
    assert water_plan(desk, tub).assumed == water_now(desk, tub).assumed


def test_the_next_test_comes_three_days_after_the_last_without_a_known_loss(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    today = desk.today("Europe/Helsinki")
    assert next_test_of(desk, tub) == today + timedelta(days=3)
    assert isinstance(today, date)
