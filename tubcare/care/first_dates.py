"""The first due date of tasks that have no history."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.care.triggers import ElapsedTrigger, UseTrigger

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from tubcare.care.model import Task
    from tubcare.values import TaskId

_SPREAD_DAYS = 28


def needs_first_date(task: Task) -> bool:
    """Return whether a task counts from its last time, so that its first date must be chosen."""
    return any(isinstance(trigger, ElapsedTrigger | UseTrigger) for trigger in task.triggers)


def first_date_after(task: Task, last_done_on: date, starts_on: date) -> date:
    """Return the first due date of a task that was last done on a day before the records begin.

    Nothing starts late: a date that has passed becomes the start itself.
    """
    dates = [
        trigger.every.after(last_done_on)
        for trigger in task.triggers
        if isinstance(trigger, ElapsedTrigger)
    ]
    return max(min(dates, default=starts_on), starts_on)


def spread_first_dates(tasks: Iterable[Task], starts_on: date) -> dict[TaskId, date]:
    """Return first due dates for tasks of which nobody knows when they were last done.

    Safety tasks are due at once. The others are spread evenly over four weeks, those of one round
    together, shorter intervals first, and none later than its own interval.
    """
    found: dict[TaskId, date] = {}
    groups: dict[str, list[Task]] = {}
    for task in tasks:
        if not needs_first_date(task):
            continue
        if task.safety:
            found[task.id] = starts_on
        else:
            groups.setdefault(task.round_name or f"\0{task.id}", []).append(task)
    ordered = sorted(
        groups.values(), key=lambda group: (min(map(_interval_days, group)), group[0].id)
    )
    for index, group in enumerate(ordered):
        share = _SPREAD_DAYS * (index + 1) // (len(ordered) + 1)
        days = min(share, *(int(_interval_days(task)) for task in group))
        for task in group:
            found[task.id] = starts_on + timedelta(days=days)
    return found


def _interval_days(task: Task) -> float:
    days = [t.every.days for t in task.triggers if isinstance(t, ElapsedTrigger)]
    return min(days, default=float(_SPREAD_DAYS))
