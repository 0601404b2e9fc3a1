from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.books import assert_books_hold
from tests.support.dump import facts
from tests.support.plans import add_task, add_tub
from tests.support.purchases import buy_filters
from tubcare.care.model import InspectionResult, Status, TubState
from tubcare.errors import (
    AlreadyDoneError,
    DependentFactError,
    InputError,
    NothingLeftError,
    RuleError,
)
from tubcare.services.completions import delete_completion
from tubcare.services.desk import UNDO_DEPTH, Desk
from tubcare.services.entries import entries
from tubcare.services.history import redo, undo
from tubcare.services.measures import add_dip, add_readings
from tubcare.services.supplies import supplies
from tubcare.services.tubs import enter_state, tubs
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_put_off import put_off, skip
from tubcare.services.upkeep_steps import tick_step, untick_step
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.upkeep_work import EarlyWorkError, record_work
from tubcare.services.week import DueItem, this_week

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.values import TaskId


def item(desk: Desk, task: TaskId) -> DueItem:
    week = this_week(desk)
    everything = (*week.late, *week.due_today, *(i for d in week.days for i in d.items))
    return next(i for i in (*everything, *week.later) if i.task == task)


def test_a_task_falls_due_after_its_interval_and_says_why(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk))
    found = item(desk, task)
    assert found.occurrence.due_on == date(2026, 5, 1)
    assert found.occurrence.status is Status.DUE
    assert found.occurrence.key == f"start:{task}"


def test_one_tick_records_the_usual_cost_and_supplies(desk: Desk) -> None:
    buy_filters(desk)
    (supply,) = supplies(desk)
    task = add_task(desk, add_tub(desk), usual_minor=250, supplies={supply.id: 1000})
    ticked = tick_off(desk, task, item(desk, task).occurrence.key)
    assert (ticked.cost_minor, ticked.uses) == (250, {supply.id: 1000})
    assert ticked.next_due == date(2026, 5, 31)
    assert supplies(desk)[0].quantity_milli == 5000
    assert_books_hold(desk.store)


def test_undo_of_a_tick_brings_back_the_same_key_and_everything_with_it(desk: Desk) -> None:
    buy_filters(desk)
    (supply,) = supplies(desk)
    task = add_task(desk, add_tub(desk), usual_minor=250, supplies={supply.id: 1000})
    key = item(desk, task).occurrence.key
    before = facts(desk.store)
    tick_off(desk, task, key)
    after = facts(desk.store)
    undo(desk)
    assert facts(desk.store) == before
    assert item(desk, task).occurrence.key == key
    redo(desk)
    assert facts(desk.store) == after
    assert_books_hold(desk.store)


def test_undo_goes_two_hundred_actions_back_and_no_further(desk: Desk) -> None:
    add_tub(desk)
    for _ in range(UNDO_DEPTH + 1):
        add_dip(desk)
    assert {undo(desk).label for _ in range(UNDO_DEPTH)} == {"add_dip"}
    with pytest.raises(NothingLeftError, match="nothing to take back"):
        undo(desk)


def test_of_two_people_one_wins_and_the_other_is_told_who_and_when(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk))
    key = item(desk, task).occurrence.key
    ben = Desk(desk.store, desk.clock, "Ben")
    tick_off(ben, task, key)
    with pytest.raises(AlreadyDoneError, match="Ben") as told:
        tick_off(desk, task, key)
    assert told.value.when == desk.now()
    assert len(facts(desk.store)["completion"]) == 1


def test_a_key_that_never_was_is_refused(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk))
    with pytest.raises(RuleError, match="no longer due"):
        tick_off(desk, task, "done:99")


def test_a_dated_back_tick_counts_from_that_day(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk))
    ticked = tick_off(desk, task, item(desk, task).occurrence.key, Work(on=date(2026, 4, 28)))
    assert ticked.next_due == date(2026, 5, 28)


def test_a_tick_dated_tomorrow_is_refused(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk))
    with pytest.raises(InputError, match="yet to come"):
        tick_off(desk, task, item(desk, task).occurrence.key, Work(on=date(2026, 5, 2)))


def test_early_work_outside_the_window_asks_whether_the_clock_restarts(
    desk: Desk, clock: StillClock
) -> None:
    task = add_task(desk, add_tub(desk))
    clock.go(days=-14)
    with pytest.raises(EarlyWorkError):
        record_work(desk, task, Work())
    extra = record_work(desk, task, Work(), restarts=False)
    assert extra.next_due == date(2026, 5, 1)
    closed = record_work(desk, task, Work(), restarts=True)
    assert closed.next_due == date(2026, 5, 17)


def test_work_from_before_a_task_came_into_the_plan_is_told_as_such(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk), starts_on=date(2026, 4, 20))
    with pytest.raises(EarlyWorkError, match="came into the plan on 2026-04-20") as told:
        record_work(desk, task, Work(on=date(2026, 4, 10)))
    assert told.value.began_on == date(2026, 4, 20)
    ticked = record_work(desk, task, Work(on=date(2026, 4, 10)), restarts=True)
    assert ticked.next_due == date(2026, 5, 10)


def test_skip_needs_a_reason_and_runs_on_from_the_due_date(desk: Desk, clock: StillClock) -> None:
    task = add_task(desk, add_tub(desk))
    clock.go(days=3)
    key = item(desk, task).occurrence.key
    with pytest.raises(InputError, match="why"):
        skip(desk, task, key, "  ")
    assert skip(desk, task, key, "away").next_due == date(2026, 5, 31)


def test_put_off_moves_the_date_keeps_the_key_and_asks_the_second_time(
    desk: Desk, clock: StillClock
) -> None:
    task = add_task(desk, add_tub(desk))
    key = item(desk, task).occurrence.key
    first = put_off(desk, task, key, date(2026, 5, 4))
    assert not first.asks_longer_interval
    moved = item(desk, task).occurrence
    assert (moved.key, moved.due_on, moved.put_off_from) == (
        key,
        date(2026, 5, 4),
        date(2026, 5, 1),
    )
    clock.go(days=3)
    assert put_off(desk, task, key, date(2026, 5, 8)).asks_longer_interval


def test_a_reading_makes_its_task_due_at_once_and_a_good_one_clears_it(
    desk: Desk, clock: StillClock
) -> None:
    tub = add_tub(desk)
    task = add_task(
        desk,
        tub,
        title="Correct the pH",
        triggers=[{"kind": "reading", "when": "ph outside range"}],
    )
    add_readings(desk, tub, {"ph": 8.1})
    found = item(desk, task)
    assert found.occurrence.due_on == date(2026, 5, 1)
    with pytest.raises(RuleError, match="cannot wait"):
        put_off(desk, task, found.occurrence.key, date(2026, 5, 5))
    clock.go(hours=2)
    add_readings(desk, tub, {"ph": 7.4})
    assert all(i.task != task for i in this_week(desk).due_today)


def test_forty_dips_make_a_task_due(desk: Desk) -> None:
    tub = add_tub(desk)
    task = add_task(
        desk,
        tub,
        triggers=[
            {"kind": "elapsed", "every": 90, "period": "day"},
            {"kind": "use", "counter": "dip", "amount": 40},
        ],
    )
    add_dip(desk, tub, dips=39, on=date(2026, 4, 20))
    assert item(desk, task).occurrence.about
    add_dip(desk, tub, dips=2)
    assert item(desk, task).occurrence.status is Status.DUE
    tick_off(desk, task, item(desk, task).occurrence.key)
    week = this_week(desk)
    assert all(i.task != task for i in (*week.late, *week.due_today))


def test_in_season_tasks_sleep_while_the_tub_is_closed(desk: Desk, clock: StillClock) -> None:
    tub = add_tub(desk)
    add_task(desk, tub, scope="in_season")
    enter_state(desk, tub, TubState.CLOSED, date(2026, 5, 1))
    assert this_week(desk).asleep == 1
    clock.go(days=20)
    enter_state(desk, tub, TubState.OPEN, date(2026, 5, 21))
    assert this_week(desk).asleep == 0
    assert tubs(desk)[0].state is TubState.OPEN


def test_an_inspection_result_chooses_the_next_interval(desk: Desk) -> None:
    task = add_task(
        desk,
        add_tub(desk),
        result_intervals={"doubtful": {"every": 7, "period": "day"}},
    )
    key = item(desk, task).occurrence.key
    done = tick_off(desk, task, key, Work(result=InspectionResult.DOUBTFUL))
    assert done.next_due == date(2026, 5, 8)


def test_steps_are_ticked_one_by_one_and_can_be_taken_back(desk: Desk) -> None:
    task = add_task(desk, add_tub(desk))
    key = item(desk, task).occurrence.key
    tick_step(desk, task, key, 0)
    tick_step(desk, task, key, 0)
    tick_step(desk, task, key, 1)
    untick_step(desk, task, key, 1)
    assert [row["step"] for row in facts(desk.store)["step_tick"]] == [0]


def test_only_the_newest_completion_can_be_deleted(desk: Desk, clock: StillClock) -> None:
    task = add_task(desk, add_tub(desk), usual_minor=500)
    first = tick_off(desk, task, item(desk, task).occurrence.key)
    clock.go(days=30)
    second = tick_off(desk, task, item(desk, task).occurrence.key)
    assert first.completion is not None
    assert second.completion is not None
    with pytest.raises(DependentFactError, match="2026-05-31"):
        delete_completion(desk, first.completion)
    delete_completion(desk, second.completion)
    assert len(entries(desk, first=date(2026, 1, 1), last=date(2026, 12, 31))) == 1
    assert_books_hold(desk.store)


def test_undo_is_refused_when_somebody_else_went_on_from_there(
    desk: Desk, clock: StillClock
) -> None:
    task = add_task(desk, add_tub(desk))
    tick_off(desk, task, item(desk, task).occurrence.key)
    clock.go(days=30)
    ben = Desk(desk.store, desk.clock, "Ben")
    tick_off(ben, task, item(ben, task).occurrence.key)
    with pytest.raises(DependentFactError, match="Swap the filter"):
        undo(desk)


def test_each_tub_lives_by_its_own_date(desk: Desk, clock: StillClock) -> None:
    helsinki = add_task(desk, add_tub(desk))
    auckland = add_task(desk, add_tub(desk, name="South", zone="Pacific/Auckland"))
    clock.set(date(2026, 4, 30), hour=20)
    assert item(desk, helsinki).today == date(2026, 4, 30)
    assert item(desk, auckland).today == date(2026, 5, 1)
    assert item(desk, auckland).occurrence.status is Status.DUE
    assert item(desk, helsinki).occurrence.status is Status.COMING


def test_late_and_overdue_stand_above_the_week(desk: Desk, clock: StillClock) -> None:
    task = add_task(desk, add_tub(desk))
    clock.go(days=4)
    assert item(desk, task).occurrence.status is Status.LATE
    clock.go(days=10)
    week = this_week(desk)
    assert [i.occurrence.status for i in week.late] == [Status.OVERDUE]


def test_work_dated_back_closes_the_date_that_was_open_then(desk: Desk, clock: StillClock) -> None:
    weekly = {"kind": "calendar", "rule": "FREQ=WEEKLY;BYDAY=FR", "start": "2026-04-01"}
    task = add_task(desk, add_tub(desk), triggers=[weekly], starts_on=date(2026, 5, 1))
    clock.set(date(2026, 5, 8))
    assert item(desk, task).occurrence.due_on == date(2026, 5, 8)
    done = record_work(desk, task, Work(on=date(2026, 5, 2)))
    assert done.next_due == date(2026, 5, 8)
    assert item(desk, task).occurrence.status is Status.DUE


def test_a_tick_dated_back_before_the_opening_closes_what_the_opening_made_due(
    desk: Desk,
) -> None:
    task = add_task(desk, add_tub(desk), scope="in_season", starts_on=date(2026, 3, 1))
    key = item(desk, task).occurrence.key
    assert key.startswith("open:")
    done = tick_off(desk, task, key, Work(on=date(2026, 3, 20)))
    assert item(desk, task).occurrence.key == f"done:{done.completion}"
    with pytest.raises(AlreadyDoneError):
        tick_off(desk, task, key)
