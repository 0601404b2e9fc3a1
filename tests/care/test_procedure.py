"""Where a procedure stands after some of its steps were ticked."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from tubcare.care.plan_card import Step
from tubcare.care.procedure import StepState, ready_at, step_stands

START = datetime(2026, 10, 26, 9, tzinfo=UTC)
STEPS = (
    Step(text="Stop dosing.", wait_after_h=48),
    Step(text="Purge the lines.", wait_after_h=1),
    Step(text="Drain."),
)


def states(ticked: dict[int, datetime], now: datetime) -> list[StepState]:
    return [stand.state for stand in step_stands(STEPS, ticked, now)]


def test_the_first_step_is_next_before_anything_was_done() -> None:
    assert states({}, START) == [StepState.NEXT, StepState.LATER, StepState.LATER]


def test_the_next_step_waits_until_the_time_of_the_one_before_is_over() -> None:
    ticked = {0: START}
    early, ready = START + timedelta(hours=47), START + timedelta(hours=48)
    assert states(ticked, early)[1] is StepState.WAITING
    assert step_stands(STEPS, ticked, early)[1].ready_at == ready
    assert states(ticked, ready)[1] is StepState.NEXT


def test_a_longer_wait_goes_on_over_a_shorter_one_that_began_later() -> None:
    ticked = {0: START, 1: START + timedelta(hours=2)}
    assert ready_at(STEPS, ticked, 2) == START + timedelta(hours=48)


def test_a_step_that_was_taken_back_is_next_again_and_later_ones_stay_done() -> None:
    ticked = {0: START, 2: START + timedelta(hours=50)}
    now = START + timedelta(hours=51)
    assert states(ticked, now) == [StepState.DONE, StepState.NEXT, StepState.DONE]
