"""What an inspection finds decides what comes after."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tests.support.dump import facts
from tests.support.plans import add_task as put_task
from tests.support.plans import add_tub
from tubcare.care.model import Category, InspectionResult
from tubcare.care.plan_card import FollowUp, TaskCard
from tubcare.services.amending import amend_completion
from tubcare.services.completions import delete_completion
from tubcare.services.history import undo
from tubcare.services.task_edits import TaskDraft, add_task, change_task, draft_of
from tubcare.services.tasks import task_detail, task_list
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work
from tubcare.services.week import this_week

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId

MEND = "Mend the liner"
DOUBTFUL = Work(result=InspectionResult.DOUBTFUL)


def inspection(desk: Desk) -> TaskId:
    return add_task(
        desk,
        TaskDraft(
            tub=add_tub(desk),
            title="Look over the liner",
            category=Category.LINER,
            rules={
                "triggers": [{"kind": "elapsed", "every": 30, "period": "day"}],
                "result_intervals": {
                    "good": {"every": 60, "period": "day"},
                    "doubtful": {"every": 10, "period": "day"},
                },
            },
            starts_on=date(2026, 4, 1),
            card=TaskCard(
                follow_ups=(FollowUp(result=InspectionResult.DOUBTFUL, title=MEND, within_days=7),)
            ),
        ),
    )


def titles(desk: Desk) -> list[str]:
    return [line.title for line in task_list(desk)]


def test_a_good_result_brings_the_longer_interval_a_doubtful_one_the_shorter(desk: Desk) -> None:
    task = inspection(desk)
    good = record_work(desk, task, Work(result=InspectionResult.GOOD))
    assert (good.next_due, good.follow_up) == (date(2026, 6, 30), None)
    undo(desk)
    assert record_work(desk, task, DOUBTFUL).next_due == date(2026, 5, 11)


def test_a_result_that_asks_for_it_opens_a_single_task(desk: Desk) -> None:
    opened = record_work(desk, inspection(desk), DOUBTFUL).follow_up
    assert opened is not None
    detail = task_detail(desk, opened.id)
    assert detail.title == MEND
    assert detail.open is not None
    assert detail.open.due_on == date(2026, 5, 8)


def test_the_single_task_goes_with_the_undo_of_the_tick_that_opened_it(desk: Desk) -> None:
    task = inspection(desk)
    before = facts(desk.store)
    record_work(desk, task, DOUBTFUL)
    undo(desk)
    assert facts(desk.store) == before


def test_a_second_doubtful_result_does_not_open_it_twice_until_it_is_done(desk: Desk) -> None:
    task = inspection(desk)
    opened = record_work(desk, task, DOUBTFUL).follow_up
    again = record_work(desk, task, DOUBTFUL, restarts=True)
    assert again.follow_up is None
    assert titles(desk).count(MEND) == 1
    assert opened is not None
    record_work(desk, opened.id, Work(), restarts=True)
    assert record_work(desk, task, DOUBTFUL, restarts=True).follow_up is not None


def test_a_result_written_down_later_opens_it_as_well(desk: Desk) -> None:
    ticked = record_work(desk, inspection(desk), Work())
    assert ticked.completion is not None
    amended = amend_completion(desk, ticked.completion, DOUBTFUL)
    assert amended.follow_up is not None
    assert MEND in titles(desk)
    delete_completion(desk, ticked.completion)
    assert MEND in titles(desk)


def test_the_task_that_an_inspection_opened_moves_with_its_day(desk: Desk) -> None:
    task = inspection(desk)
    ticked = record_work(desk, task, DOUBTFUL, restarts=True)
    assert ticked.completion is not None
    assert ticked.follow_up is not None
    before = facts(desk.store)
    earlier = ticked.on - timedelta(days=2)
    amend_completion(desk, ticked.completion, replace(DOUBTFUL, on=earlier))
    due = task_detail(desk, ticked.follow_up.id).open
    assert due is not None
    assert due.due_on == ticked.follow_up.due_on - timedelta(days=2)
    undo(desk)
    assert facts(desk.store) == before


def test_a_follow_up_that_somebody_changed_stays_where_it_is(desk: Desk) -> None:
    ticked = record_work(desk, inspection(desk), DOUBTFUL, restarts=True)
    assert ticked.completion is not None
    assert ticked.follow_up is not None
    later = ticked.follow_up.due_on + timedelta(days=9)
    rules = {"triggers": [{"kind": "once", "on": later.isoformat()}]}
    known = task_detail(desk, ticked.follow_up.id)
    changed = replace(draft_of(known), rules=rules)
    change_task(desk, known.id, changed, revision=known.revision)
    earlier = ticked.on - timedelta(days=2)
    amend_completion(desk, ticked.completion, replace(DOUBTFUL, on=earlier))
    due = task_detail(desk, ticked.follow_up.id).open
    assert due is not None
    assert due.due_on == later


def test_the_week_knows_which_tasks_ask_what_was_found(desk: Desk) -> None:
    task = inspection(desk)
    plain = put_task(desk, task_detail(desk, task).tub, title="Skim")
    week = this_week(desk)
    asks = {item.task: item.asks_result for item in (*week.open_items, *week.later)}
    assert asks == {task: True, plain: False}
