"""Steps of the dosing plan as they are done: with their waits, refused out of turn, undone."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from tests.support.books import assert_books_hold
from tests.support.dosing import HIGH_PH_LOW_CHLORINE, TAP, put_on_shelf
from tests.support.dump import facts
from tubcare.errors import InputError, OutOfRangeError, RuleError, StepDoneError
from tubcare.services.history import redo, undo
from tubcare.services.measures import add_readings
from tubcare.services.supplies import supplies
from tubcare.services.water_do import do_step
from tubcare.services.water_dose import add_dose
from tubcare.services.water_now import water_now
from tubcare.services.water_plan import water_plan
from tubcare.services.water_plan_model import CutShort
from tubcare.services.water_sources import choose_source, put_source
from tubcare.store.tables import UseRow
from tubcare.store.unit import table_of
from tubcare.water.compounds import Compound
from tubcare.water.plan_model import StepKind

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


@pytest.mark.usefixtures("shelf")
def test_a_tick_records_the_dose_uses_stock_and_costs_in_one_action(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    before = facts(desk.store)
    planned = do_step(desk, tub, 1).planned
    assert planned.step.portion is not None
    left = {each.name: each.quantity_milli for each in supplies(desk)}
    assert left["pH minus"] == 1_000_000 - round(planned.step.portion.amount * 1000)
    with desk.read() as connection:
        use = connection.execute(table_of(UseRow).select()).one()
    assert use.cost_minor == pytest.approx(planned.step.portion.amount, abs=0.5)
    assert_books_hold(desk.store)
    undo(desk)
    assert facts(desk.store) == before
    redo(desk)
    assert water_plan(desk, tub).steps[0].done is not None


@pytest.mark.usefixtures("shelf")
def test_a_step_in_the_wait_of_the_one_before_is_recorded_with_the_end_of_that_wait(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    first = do_step(desk, tub, 1)
    assert first.cut_short is None
    ready_at = desk.now() + timedelta(minutes=first.planned.step.wait_min)
    clock.go(hours=0.1)
    second = do_step(desk, tub, 2)
    assert second.cut_short == CutShort(after=1, until=ready_at, is_over=False)
    assert water_plan(desk, tub).steps[1].done is not None


@pytest.mark.usefixtures("shelf")
def test_a_wait_that_is_over_is_told_only_where_the_time_of_the_step_was(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    do_step(desk, tub, 1)
    zone = ZoneInfo(water_plan(desk, tub).tub.zone)
    soon = (desk.now() + timedelta(minutes=5)).astimezone(zone)
    clock.go(hours=30)
    told = do_step(desk, tub, 2, on=soon.date(), at=soon.time())
    assert told.cut_short is not None
    assert told.cut_short.is_over
    undo(desk)
    assert do_step(desk, tub, 2, on=soon.date()).cut_short is None


@pytest.mark.usefixtures("shelf")
def test_the_plan_stays_while_its_steps_are_ticked_one_after_the_other(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    plan = water_plan(desk, tub)
    with pytest.raises(RuleError, match="step 1 comes first"):
        do_step(desk, tub, 2)
    for each in plan.steps:
        do_step(desk, tub, each.number, test_at=plan.test_at)
        clock.go(hours=1.5)
    done = water_plan(desk, tub)
    assert [each.step.portion for each in done.steps] == [e.step.portion for e in plan.steps]
    assert done.next_step is None
    with pytest.raises(StepDoneError) as told:
        do_step(desk, tub, 1)
    assert told.value.who == desk.actor


@pytest.mark.usefixtures("shelf")
def test_a_tick_starts_the_wait_before_the_next_step_and_before_a_new_test(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    planned = do_step(desk, tub, 1).planned
    found = water_plan(desk, tub)
    assert found.next_at == clock.now() + timedelta(minutes=planned.step.wait_min)
    assert found.retest_at == clock.now() + timedelta(minutes=planned.step.retest_min)
    assert water_now(desk, tub).wait_until == found.retest_at


@pytest.mark.usefixtures("shelf")
def test_a_step_of_yesterday_counts_its_waits_from_the_hour_it_was_done(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    clock.go(days=1)
    planned = do_step(desk, tub, 1, on=date(2026, 5, 1), at=time(18, 30)).planned
    done = water_plan(desk, tub).steps[0].done
    assert done is not None
    # Half past six in Helsinki, in summer three hours ahead of UTC.
    assert done.at == datetime(2026, 5, 1, 15, 30, tzinfo=UTC)
    assert done.ready_at - done.at == timedelta(minutes=planned.step.wait_min)
    assert water_now(desk, tub).wait_until is None
    uses = [row["on_date"] for row in facts(desk.store)["stock_use"]]
    assert uses == [date(2026, 5, 1)]


@pytest.mark.usefixtures("shelf")
def test_a_step_without_an_hour_comes_right_after_what_came_before(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    clock.go(hours=3)
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    tested = clock.now()
    clock.go(days=1)
    do_step(desk, tub, 1, on=date(2026, 5, 1))
    do_step(desk, tub, 2, on=date(2026, 5, 1))
    done = [each.done.at for each in water_plan(desk, tub).steps if each.done is not None]
    assert done == [tested, tested]


@pytest.mark.usefixtures("shelf")
@pytest.mark.parametrize(
    ("on", "at", "why"),
    [
        (date(2026, 4, 30), None, "before the test"),
        (date(2026, 5, 1), time(7), "before the test"),
        (date(2026, 5, 3), None, "yet to come"),
        (None, time(23, 59), "yet to come"),
    ],
)
def test_a_step_is_refused_before_its_test_and_ahead_of_time(
    desk: Desk, tub: TubId, clock: StillClock, on: date | None, at: time | None, why: str
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    clock.go(days=1)
    before = facts(desk.store)
    with pytest.raises(InputError, match=why):
        do_step(desk, tub, 1, on=on, at=at)
    assert facts(desk.store) == before


@pytest.mark.usefixtures("shelf")
def test_a_newer_test_makes_a_new_plan_and_refuses_ticks_of_the_old_one(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    old = water_plan(desk, tub).test_at
    clock.go(hours=5)
    add_readings(desk, tub, {**HIGH_PH_LOW_CHLORINE, "ph": 7.9})
    with pytest.raises(RuleError, match="newer test"):
        do_step(desk, tub, 1, test_at=old)
    assert all(each.done is None for each in water_plan(desk, tub).steps)


def test_a_plan_stands_while_its_steps_take_days(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    """The thermometer of the test goes on to count, though it is older than a day by then."""
    put_on_shelf(desk, "Bleach", Compound.SODIUM_HYPOCHLORITE)
    warm = {"ph": 6.8, "free_chlorine_mg_l": 0.2, "alkalinity_mg_l": 78.0, "water_c": 12.0}
    add_readings(desk, tub, warm)
    before = [each.step for each in water_plan(desk, tub).steps]
    assert [step.kind for step in before] == [StepKind.SANITISER, StepKind.AERATE]
    do_step(desk, tub, 1)
    clock.go(days=2)
    assert [each.step for each in water_plan(desk, tub).steps] == before


def test_a_change_of_all_water_leaves_the_plan_that_it_is_a_step_of(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    put_source(desk, "Tap", TAP, tested_on=date(2026, 4, 1))
    choose_source(desk, tub, "Tap")
    put_on_shelf(desk, "Bleach", Compound.SODIUM_HYPOCHLORITE)
    add_readings(desk, tub, {**HIGH_PH_LOW_CHLORINE, "cyanurate_mg_l": 200.0})
    before = [each.step for each in water_plan(desk, tub).steps]
    assert before[0].change_l > 360.0
    clock.go(days=1)
    do_step(desk, tub, 1)
    assert [each.step for each in water_plan(desk, tub).steps] == before


@pytest.mark.usefixtures("shelf")
def test_a_dose_outside_the_plan_uses_stock_and_unsettles_the_plan(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, HIGH_PH_LOW_CHLORINE)
    clock.go(hours=1)
    before = facts(desk.store)
    dosed = add_dose(desk, tub, "bleach", 20.0)
    assert dosed.wait_until == clock.now() + timedelta(hours=1)
    left = {each.name: each.quantity_milli for each in supplies(desk)}
    assert left["Bleach"] == 980_000
    assert water_plan(desk, tub).other_doses == ("Bleach",)
    assert water_now(desk, tub).wait_until == dosed.wait_until
    assert_books_hold(desk.store)
    undo(desk)
    assert facts(desk.store) == before
    with pytest.raises(OutOfRangeError):
        add_dose(desk, tub, "Bleach", -1.0)
