"""Changing and deleting what was recorded."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.books import assert_books_hold
from tests.support.dump import facts
from tests.support.plans import add_task, add_tub
from tests.support.purchases import buy_filters
from tubcare.errors import DependentFactError, InputError, RuleError
from tubcare.services.amending import amend_completion, recorded
from tubcare.services.completions import delete_completion
from tubcare.services.corrections import refund
from tubcare.services.entries import entries
from tubcare.services.history import undo
from tubcare.services.supplies import supplies
from tubcare.services.task_record import task_page
from tubcare.services.tasks import task_detail
from tubcare.services.upkeep_model import Ticked, Work
from tubcare.services.upkeep_work import record_work

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import CompletionId, SupplyId, TaskId

TODAY = date(2026, 5, 1)


def ticked(desk: Desk) -> tuple[TaskId, SupplyId, CompletionId]:
    supply = buy_filters(desk)
    task = add_task(desk, add_tub(desk), usual_minor=250, supplies={supply: 1000})
    done: Ticked = record_work(desk, task, Work())
    assert done.completion is not None
    return task, supply, done.completion


def test_a_record_can_be_changed_whole_and_the_books_follow(desk: Desk) -> None:
    task, supply, completion = ticked(desk)
    amend_completion(
        desk,
        completion,
        Work(
            on=date(2026, 4, 29),
            person="Ben",
            minutes=12,
            note="two at once",
            uses={supply: 2000},
            cost_minor=400,
        ),
    )
    now = recorded(desk, completion)
    assert (now.on, now.who, now.minutes) == (date(2026, 4, 29), "Ben", 12)
    assert (now.note, now.uses, now.cost_minor) == ("two at once", {supply: 2000}, 400)
    found = task_detail(desk, task).open
    assert found is not None
    assert found.due_on == date(2026, 5, 29)
    assert_books_hold(desk.store)


def test_the_amount_and_the_use_can_be_taken_out_of_a_record_and_undone(desk: Desk) -> None:
    _task, _supply, completion = ticked(desk)
    before = facts(desk.store)
    amend_completion(desk, completion, Work(uses={}, cost_minor=0))
    assert supplies(desk)[0].quantity_milli == 6000
    assert [e.kind for e in entries(desk, first=TODAY, last=TODAY)] == []
    assert_books_hold(desk.store)
    undo(desk)
    assert facts(desk.store) == before


def test_a_record_cannot_move_to_a_day_to_come_or_before_the_one_before(desk: Desk) -> None:
    task, _supply, _first = ticked(desk)
    later = record_work(desk, task, Work(), restarts=True)
    assert later.completion is not None
    with pytest.raises(InputError, match="yet to come"):
        amend_completion(desk, later.completion, Work(on=date(2026, 5, 2)))
    with pytest.raises(RuleError, match="last done on 2026-05-01"):
        amend_completion(desk, later.completion, Work(on=date(2026, 4, 30)))


def test_an_amount_that_was_refunded_stays(desk: Desk) -> None:
    _task, _supply, completion = ticked(desk)
    (entry,) = entries(desk, first=TODAY, last=TODAY)
    refund(desk, entry.id, on=TODAY, minor=50)
    with pytest.raises(DependentFactError, match="refund"):
        amend_completion(desk, completion, Work(cost_minor=10))
    with pytest.raises(DependentFactError, match="depends on it"):
        delete_completion(desk, completion)


def test_the_history_says_who_when_and_what_it_cost(desk: Desk) -> None:
    task, _supply, _completion = ticked(desk)
    record_work(desk, task, Work(note="once more", cost_minor=0, uses={}), restarts=False)
    page = task_page(desk, task)
    assert page.done == 2
    extra, first = page.history
    assert (extra.extra, extra.note, extra.cost_minor) == (True, "once more", 0)
    assert (first.who, first.on, first.cost_minor) == ("Ann", TODAY, 750)


def test_of_the_closing_records_only_the_newest_can_go(desk: Desk) -> None:
    task, _supply, first = ticked(desk)
    second = record_work(desk, task, Work(), restarts=True)
    page = task_page(desk, task)
    assert [line.can_go for line in page.history] == [True, False]
    with pytest.raises(DependentFactError):
        delete_completion(desk, first)
    assert second.completion is not None
    assert delete_completion(desk, second.completion) == "Swap the filter cartridge"
    assert [line.can_go for line in task_page(desk, task).history] == [True]
