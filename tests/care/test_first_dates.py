"""First due dates where there is no history."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

from tests.care.builders import day, every, rule, task, tub
from tubcare.care.first_dates import first_date_after, needs_first_date, spread_first_dates
from tubcare.care.model import Period, Status
from tubcare.care.occurrences import occurrences

START = day("2026-01-01")


def test_dates_are_spread_over_four_weeks() -> None:
    tasks = [task(every(3, Period.MONTH), number=number) for number in range(1, 13)]
    found = spread_first_dates(tasks, START)
    offsets = sorted((found[each.id] - START).days for each in tasks)
    assert offsets[0] > 0
    assert offsets[-1] < 28
    assert max(b - a for a, b in pairwise(offsets)) <= 3


def test_safety_tasks_are_due_at_once() -> None:
    tasks = [task(every(1, Period.MONTH), number=1, safety=True), task(every(30), number=2)]
    assert spread_first_dates(tasks, START)[tasks[0].id] == START


def test_tasks_of_one_round_stay_together() -> None:
    tasks = [task(every(7), number=number, round_name="Sunday round") for number in (1, 2, 3)]
    assert len(set(spread_first_dates(tasks, START).values())) == 1


def test_no_first_date_lies_beyond_the_interval() -> None:
    tasks = [task(every(2), number=number) for number in range(1, 9)]
    found = spread_first_dates(tasks, START)
    assert max(found.values()) <= START + timedelta(days=2)


def test_tasks_with_dates_of_their_own_need_none() -> None:
    calendar = task(rule("FREQ=MONTHLY"))
    assert not needs_first_date(calendar)
    assert spread_first_dates([calendar], START) == {}


def test_nothing_starts_late() -> None:
    each = task(every(30))
    assert first_date_after(each, day("2025-12-20"), START) == day("2026-01-19")
    assert first_date_after(each, day("2020-05-01"), START) == START
    tasks = [task(every(30), number=number, safety=number < 3) for number in range(1, 9)]
    dates = spread_first_dates(tasks, START)
    started = [
        task(every(30), number=each.id, first_due_on=dates[each.id].isoformat()) for each in tasks
    ]
    open_now = occurrences(started, {}, {tub().tub_id: tub()}, START)
    assert {each.status for each in open_now} == {Status.COMING, Status.DUE}
