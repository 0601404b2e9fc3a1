"""Opening and closing as procedures, on a real logbook."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.support.dump import facts
from tubcare.care.model import Status, TubState
from tubcare.care.procedure import StepState
from tubcare.errors import DependentFactError, InputError, RuleError
from tubcare.services.amending import amend_completion, recorded
from tubcare.services.completions import delete_completion
from tubcare.services.history import undo
from tubcare.services.plans import add_tub_with_plan
from tubcare.services.procedures import Procedure, procedures
from tubcare.services.tub_states import season_now, state_history
from tubcare.services.tubs import enter_state, tubs
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_steps import tick_step, untick_step
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.upkeep_work import record_work
from tubcare.services.week import this_week
from tubcare.values import CompletionId, TubId, TubProfile

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.services.upkeep_model import Ticked

HELSINKI = TubProfile(name="North", zone="Europe/Helsinki", latitude_deg=60.2, pump_w=40)


def new_tub(desk: Desk) -> TubId:
    return add_tub_with_plan(desk, HELSINKI, state=TubState.OPEN).tub


def turning(desk: Desk, tub: TubId, state: TubState) -> Procedure:
    return next(each for each in procedures(desk, tub) if each.enters is state)


def at_the_closing(
    desk: Desk, clock: StillClock, on: date = date(2026, 10, 30)
) -> tuple[TubId, Procedure]:
    """Return a tub that is open at the end of its season, and its closing."""
    tub = new_tub(desk)
    clock.set(on)
    return tub, turning(desk, tub, TubState.CLOSED)


def finish(desk: Desk, procedure: Procedure) -> Ticked:
    return tick_off(desk, procedure.task, procedure.occurrence.key)


def test_the_steps_of_the_closing_are_ticked_over_days_with_waiting_times(
    desk: Desk, clock: StillClock
) -> None:
    tub = new_tub(desk)
    clock.set(date(2026, 10, 27), hour=8)
    closing = turning(desk, tub, TubState.CLOSED)
    assert closing.next_step is not None
    assert closing.next_step.place == 0
    tick_step(desk, closing.task, closing.occurrence.key, 0)
    waiting = turning(desk, tub, TubState.CLOSED).steps[1]
    assert waiting.state is StepState.WAITING
    assert waiting.ready_at == clock.now() + timedelta(hours=closing.steps[0].wait_after_h)
    clock.go(days=3)
    assert turning(desk, tub, TubState.CLOSED).steps[1].state is StepState.NEXT


def test_a_step_ticked_by_mistake_is_cleared(desk: Desk) -> None:
    tub = new_tub(desk)
    closing = turning(desk, tub, TubState.CLOSED)
    tick_step(desk, closing.task, closing.occurrence.key, 0)
    assert procedures(desk, tub)[0].task == closing.task, "what was begun comes first"
    untick_step(desk, closing.task, closing.occurrence.key, 0)
    assert turning(desk, tub, TubState.CLOSED).done == 0


def test_the_cautions_stand_with_the_step_that_they_belong_to(desk: Desk) -> None:
    closing = turning(desk, new_tub(desk), TubState.CLOSED)
    unplug = next(step for step in closing.steps if "unplug" in step.text)
    assert any("licensed" in text for text in unplug.cautions)


def test_finishing_the_closing_closes_the_tub_and_one_undo_takes_both_back(
    desk: Desk, clock: StillClock
) -> None:
    _tub, closing = at_the_closing(desk, clock)
    before = facts(desk.store)
    ticked = finish(desk, closing)
    assert ticked.entered is TubState.CLOSED
    assert tubs(desk)[0].state is TubState.CLOSED
    undo(desk)
    assert facts(desk.store) == before


def test_after_the_closing_the_opening_comes_next_and_opens_the_tub(
    desk: Desk, clock: StillClock
) -> None:
    tub, closing = at_the_closing(desk, clock)
    ticked = finish(desk, closing)
    assert ticked.next_due is not None
    assert ticked.next_due.year == 2027
    clock.set(date(2027, 4, 14))
    opening = turning(desk, tub, TubState.OPEN)
    assert opening.occurrence.status in {Status.DUE, Status.LATE, Status.OVERDUE}
    assert finish(desk, opening).entered is TubState.OPEN
    assert season_now(desk, tub).first == date(2027, 4, 14)


def test_a_closing_dated_back_closes_on_that_day(desk: Desk, clock: StillClock) -> None:
    _tub, closing = at_the_closing(desk, clock, date(2026, 11, 2))
    record_work(desk, closing.task, Work(on=date(2026, 10, 31)), restarts=True)
    assert tubs(desk)[0].since == date(2026, 10, 31)


def test_a_tub_that_was_written_down_as_closed_is_not_closed_twice(
    desk: Desk, clock: StillClock
) -> None:
    tub, closing = at_the_closing(desk, clock)
    enter_state(desk, tub, TubState.CLOSED, date(2026, 10, 30))
    assert finish(desk, closing).entered is None
    assert len(state_history(desk, tub)) == 2


def test_the_season_counts_its_open_days_without_the_pauses(desk: Desk, clock: StillClock) -> None:
    tub = new_tub(desk)
    clock.set(date(2026, 5, 11))
    enter_state(desk, tub, TubState.PAUSED, date(2026, 5, 11), "Away")
    clock.set(date(2026, 5, 21))
    enter_state(desk, tub, TubState.OPEN, date(2026, 5, 21))
    now = season_now(desk, tub)
    assert now.first == date(2026, 5, 1)
    assert now.days_open == 11
    assert now.ends_on == date(2026, 10, 31)


def test_the_planned_closing_of_a_tub_that_stays_open_is_the_one_that_has_passed(
    desk: Desk, clock: StillClock
) -> None:
    tub = new_tub(desk)
    clock.set(date(2026, 11, 25))
    now = season_now(desk, tub)
    assert (now.state, now.ends_on) == (TubState.OPEN, date(2026, 10, 31))
    enter_state(desk, tub, TubState.CLOSED, date(2026, 11, 25))
    assert season_now(desk, tub).opens_on == date(2027, 4, 15)


def test_a_state_cannot_be_entered_on_a_day_to_come(desk: Desk) -> None:
    tub = new_tub(desk)
    with pytest.raises(InputError, match="yet to come"):
        enter_state(desk, tub, TubState.CLOSED, date(2026, 5, 2))


def test_deleting_the_record_of_a_closing_opens_the_tub_again(
    desk: Desk, clock: StillClock
) -> None:
    tub, closing = at_the_closing(desk, clock)
    ticked = finish(desk, closing)
    assert state_history(desk, tub)[0].note == closing.title
    assert ticked.completion is not None
    before = facts(desk.store)
    delete_completion(desk, ticked.completion)
    assert [each.state for each in state_history(desk, tub)] == [TubState.OPEN]
    undo(desk)
    assert facts(desk.store) == before


def test_a_closing_that_was_written_down_by_hand_stays_when_the_record_goes(
    desk: Desk, clock: StillClock
) -> None:
    tub, closing = at_the_closing(desk, clock)
    enter_state(desk, tub, TubState.CLOSED, date(2026, 10, 30))
    ticked = finish(desk, closing)
    assert ticked.completion is not None
    delete_completion(desk, ticked.completion)
    assert tubs(desk)[0].state is TubState.CLOSED


def test_the_record_of_an_opening_stays_while_work_of_that_season_stands_on_it(
    desk: Desk, clock: StillClock
) -> None:
    tub, closing = at_the_closing(desk, clock)
    finish(desk, closing)
    clock.set(date(2027, 4, 14))
    opening = turning(desk, tub, TubState.OPEN)
    ticked = finish(desk, opening)
    assert ticked.completion is not None
    change = state_history(desk, tub)[0]
    item = next(
        each
        for each in (*this_week(desk).due_today, *this_week(desk).later)
        if each.occurrence.key.startswith(f"open:{change.id}")
    )
    tick_off(desk, item.task, item.occurrence.key)
    with pytest.raises(DependentFactError):
        delete_completion(desk, ticked.completion)


# --- another day for a finished procedure


def closed_on(desk: Desk, clock: StillClock) -> tuple[TubId, CompletionId]:
    tub = new_tub(desk)
    clock.set(date(2026, 10, 30))
    closing = turning(desk, tub, TubState.CLOSED)
    ticked = tick_off(desk, closing.task, closing.occurrence.key)
    assert ticked.completion is not None
    return tub, ticked.completion


def test_another_day_for_a_finished_procedure_moves_the_state_that_the_tub_entered(
    desk: Desk, clock: StillClock
) -> None:
    tub, completion = closed_on(desk, clock)
    before = facts(desk.store)
    amend_completion(desk, completion, Work(on=date(2026, 10, 27)))
    assert state_history(desk, tub)[0].on == date(2026, 10, 27)
    assert season_now(desk, tub).since == date(2026, 10, 27)
    undo(desk)
    assert facts(desk.store) == before


def test_the_states_of_a_tub_keep_their_order_when_a_procedure_gets_another_day(
    desk: Desk, clock: StillClock
) -> None:
    tub, completion = closed_on(desk, clock)
    clock.set(date(2026, 11, 20))
    enter_state(desk, tub, TubState.OPEN, date(2026, 11, 10))
    with pytest.raises(RuleError, match="open from 2026-11-10 on; choose an earlier day"):
        amend_completion(desk, completion, Work(on=date(2026, 11, 12)))
    with pytest.raises(RuleError, match="choose a later day"):
        amend_completion(desk, completion, Work(on=date(2026, 4, 1)))
    assert recorded(desk, completion).on == date(2026, 10, 30)


def test_a_procedure_that_moved_is_deleted_with_the_state_that_moved_with_it(
    desk: Desk, clock: StillClock
) -> None:
    tub, completion = closed_on(desk, clock)
    amend_completion(desk, completion, Work(on=date(2026, 10, 27)))
    delete_completion(desk, completion)
    assert [change.state for change in state_history(desk, tub)] == [TubState.OPEN]
