"""Steps that are ticked over several days, with waits between them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from tests.support.clocks import noon
from tests.support.plans import add_tub
from tubcare.care.model import Category
from tubcare.care.plan_card import Need, Step, TaskCard
from tubcare.care.procedure import StepState
from tubcare.services.desk import Desk
from tubcare.services.task_edits import TaskDraft, add_task
from tubcare.services.task_record import task_page
from tubcare.services.upkeep_steps import tick_step, untick_step
from tubcare.services.upkeep_tick import tick_off

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.values import TaskId

STEPS = (
    Step(text="Dose the purge", cautions=("chemicals",)),
    Step(text="Let it run", wait_after_h=12),
    Step(text="Drain"),
)


def procedure(desk: Desk) -> TaskId:
    return add_task(
        desk,
        TaskDraft(
            tub=add_tub(desk),
            title="Change the water",
            category=Category.WATER,
            rules={"triggers": [{"kind": "elapsed", "every": 30, "period": "day"}]},
            starts_on=date(2026, 4, 1),
            card=TaskCard(steps=STEPS, needs=(Need.TUB_EMPTY,)),
        ),
    )


def key(desk: Desk, task: TaskId) -> str:
    found = task_page(desk, task).detail.open
    assert found is not None
    return found.key


def test_steps_are_ticked_over_several_days_and_say_who(desk: Desk, clock: StillClock) -> None:
    task = procedure(desk)
    tick_step(desk, task, key(desk, task), 0)
    clock.set(date(2026, 5, 3))
    tick_step(Desk(desk.store, clock, "Ben"), task, key(desk, task), 1)
    first, second, third = task_page(desk, task).steps
    assert (first.done_by, first.done_at) == ("Ann", noon(2026, 5, 1))
    assert (second.done_by, second.done_at) == ("Ben", noon(2026, 5, 3))
    assert third.done_at is None
    assert not task_page(desk, task).all_steps_done


def test_a_wait_counts_from_the_tick_of_the_step_before(desk: Desk) -> None:
    task = procedure(desk)
    *_rest, third = task_page(desk, task).steps
    assert (third.waits_h, third.ready_at) == (12, None)
    for step in (0, 1):
        tick_step(desk, task, key(desk, task), step)
    *_rest, third = task_page(desk, task).steps
    assert third.state is StepState.WAITING
    assert third.ready_at == desk.now() + timedelta(hours=12)
    untick_step(desk, task, key(desk, task), 1)
    *_rest, third = task_page(desk, task).steps
    assert third.ready_at is None


def test_the_next_time_begins_with_no_step_ticked(desk: Desk) -> None:
    task = procedure(desk)
    for step in range(3):
        tick_step(desk, task, key(desk, task), step)
    assert task_page(desk, task).all_steps_done
    tick_off(desk, task, key(desk, task))
    assert all(step.done_at is None for step in task_page(desk, task).steps)


def test_cautions_stand_beside_their_step_in_words(desk: Desk) -> None:
    first, *_rest = task_page(desk, procedure(desk)).steps
    (caution,) = first.cautions
    assert caution != "chemicals"
