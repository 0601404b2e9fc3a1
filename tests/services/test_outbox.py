from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from tests.support.plans import add_task, add_tub
from tubcare.services.outbox import claim, mark_shown, remind_again, states, waiting
from tubcare.services.reminder_plan import plan_reminders
from tubcare.services.reminder_rows import LEASE, Reminder, ReminderKey, State

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId


@pytest.fixture
def task(desk: Desk) -> TaskId:
    return add_task(desk, add_tub(desk))


def step(task: TaskId, name: str, key: str = "k") -> ReminderKey:
    return ReminderKey(task=task, key=key, step=name)


def due(desk: Desk, key: ReminderKey, hours: float = -1) -> Reminder:
    return Reminder(key=key, due_at=desk.now() + timedelta(hours=hours))


def plan(desk: Desk, *wanted: Reminder) -> bool:
    return plan_reminders(desk, "Ann", wanted, lambda each: each.key.step.startswith("again"))


def ready(desk: Desk) -> list[str]:
    return sorted(each.key.step for each in waiting(desk, "Ann").ready)


def test_planning_twice_writes_once(desk: Desk, task: TaskId) -> None:
    wanted = due(desk, step(task, "due")), due(desk, step(task, "late1"), 24)
    assert plan(desk, *wanted)
    assert not plan(desk, *wanted)
    assert waiting(desk, "Ann").next_at == wanted[1].due_at


def test_a_pending_reminder_moves_with_its_plan(desk: Desk, task: TaskId) -> None:
    plan(desk, due(desk, step(task, "due")))
    plan(desk, due(desk, step(task, "due"), 5))
    assert ready(desk) == []


def test_a_reminder_no_longer_wanted_goes_and_comes_back_with_its_plan(
    desk: Desk, task: TaskId
) -> None:
    wanted = due(desk, step(task, "due"))
    plan(desk, wanted)
    plan(desk)
    assert states(desk, "Ann") == {}
    plan(desk, wanted)
    assert ready(desk) == ["due"]


def test_only_the_newest_step_of_a_task_is_claimed(desk: Desk, task: TaskId) -> None:
    early, late = step(task, "due"), step(task, "late1")
    plan(desk, due(desk, early, -24), due(desk, late))
    assert [r.key for r in claim(desk, "Ann", "me", [early, late]).reminders] == [late]
    assert states(desk, "Ann") == {early: State.SUPERSEDED, late: State.CLAIMED}


def test_a_step_of_another_occurrence_does_not_give_way(desk: Desk, task: TaskId) -> None:
    before, now = step(task, "again", "before"), step(task, "due", "now")
    plan(desk, due(desk, before, -24), due(desk, now))
    claim(desk, "Ann", "me", [now])
    assert states(desk, "Ann")[before] is State.PENDING


def test_a_claim_keeps_others_away_until_its_lease_is_over(
    desk: Desk, task: TaskId, clock: StillClock
) -> None:
    key = step(task, "due")
    plan(desk, due(desk, key))
    claim(desk, "Ann", "first", [key])
    assert ready(desk) == []
    assert claim(desk, "Ann", "second", [key]).reminders == ()
    assert waiting(desk, "Ann").next_at == clock.at + LEASE
    clock.at += LEASE
    assert len(claim(desk, "Ann", "second", [key]).reminders) == 1


def test_only_the_holder_of_a_claim_marks_it(desk: Desk, task: TaskId) -> None:
    key = step(task, "due")
    plan(desk, due(desk, key))
    claim(desk, "Ann", "first", [key])
    mark_shown(desk, "Ann", "second", [key])
    assert states(desk, "Ann")[key] is State.CLAIMED
    mark_shown(desk, "Ann", "first", [key])
    assert states(desk, "Ann")[key] is State.SHOWN


def test_a_claim_written_before_the_clock_was_set_back_is_free(
    desk: Desk, task: TaskId, clock: StillClock
) -> None:
    key = step(task, "due")
    plan(desk, due(desk, key, -100))
    claim(desk, "Ann", "first", [key])
    clock.go(hours=-50)
    assert ready(desk) == ["due"]


def test_a_claim_that_is_being_shown_survives_a_new_plan(desk: Desk, task: TaskId) -> None:
    key = step(task, "due")
    plan(desk, due(desk, key))
    claim(desk, "Ann", "first", [key])
    assert not plan(desk)
    mark_shown(desk, "Ann", "first", [key])
    plan(desk)
    assert states(desk, "Ann") == {key: State.ACTED}


def test_an_occurrence_that_opens_again_is_not_told_again(desk: Desk, task: TaskId) -> None:
    wanted = due(desk, step(task, "due"))
    plan(desk, wanted)
    claim(desk, "Ann", "me", [wanted.key])
    mark_shown(desk, "Ann", "me", [wanted.key])
    plan(desk)
    assert not plan(desk, wanted)
    assert ready(desk) == []


def test_to_be_reminded_again_silences_what_comes_before(desk: Desk, task: TaskId) -> None:
    evening, late = due(desk, step(task, "evening"), 3), due(desk, step(task, "late1"), 40)
    plan(desk, evening, late)
    again = step(task, "again@20260502")
    for _ in range(2):
        remind_again(desk, "Ann", [again], desk.now() + timedelta(hours=20))
    plan(desk, evening, late)
    assert states(desk, "Ann") == {
        evening.key: State.SUPERSEDED,
        late.key: State.PENDING,
        again: State.PENDING,
    }


def test_recipients_do_not_see_each_other(desk: Desk, task: TaskId) -> None:
    plan(desk, due(desk, step(task, "due")))
    assert waiting(desk, "Ben").ready == ()
    assert claim(desk, "Ben", "his", [step(task, "due")]).reminders == ()


def test_of_many_claims_at_once_one_wins_each(desk: Desk) -> None:
    tub = add_tub(desk)
    keys = [step(add_task(desk, tub, title=f"Task {n}"), "due") for n in range(20)]
    plan(desk, *(due(desk, key) for key in keys))
    with ThreadPoolExecutor(4) as pool:
        claims = list(pool.map(lambda n: claim(desk, "Ann", f"program {n}", keys), range(4)))
    won = [reminder.key for each in claims for reminder in each.reminders]
    assert sorted(won) == sorted(keys)


def test_plans_made_at_once_make_one_row_each(desk: Desk) -> None:
    tub = add_tub(desk)
    keys = [step(add_task(desk, tub, title=f"Task {n}"), "due") for n in range(20)]
    wanted = [due(desk, key) for key in keys]
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda _: plan(desk, *wanted), range(4)))
    assert set(states(desk, "Ann")) == set(keys)


def test_neither_ten_years_of_history_nor_many_tasks_make_a_plan_write(desk: Desk) -> None:
    tub = add_tub(desk)
    tasks = [add_task(desk, tub, title=f"Task {n}") for n in range(3)]
    wanted: list[Reminder] = []
    for round_number in range(40):
        wanted = [due(desk, step(task, "due", f"k{round_number}")) for task in tasks]
        assert plan(desk, *wanted)
        claim(desk, "Ann", "me", [each.key for each in wanted])
        mark_shown(desk, "Ann", "me", [each.key for each in wanted])
    assert not plan(desk, *wanted)
    assert len(states(desk, "Ann")) == 120
