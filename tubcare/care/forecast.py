"""The plan rolled forward: every occurrence is assumed done on its due date."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.care.due_base import view_at, view_of
from tubcare.care.facts import NO_FACTS, Closing, CounterState, TaskFacts
from tubcare.care.occurrences import open_occurrence
from tubcare.care.reasons import ReadingReason
from tubcare.care.terms import Outcome, Status
from tubcare.care.triggers import (
    UseTrigger,
)
from tubcare.values import CompletionId

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from tubcare.care.due_base import View
    from tubcare.care.facts import TubFacts
    from tubcare.care.model import Occurrence, Task
    from tubcare.care.terms import Counter
    from tubcare.values import TaskId, TubId

#: Ten years of a daily task.
_MOST_FOR_ONE_TASK = 3_660


def forecast(
    tasks: Iterable[Task],
    facts: Mapping[TaskId, TaskFacts],
    tubs: Mapping[TubId, TubFacts],
    today: date,
    until: date,
) -> list[Occurrence]:
    """Return what falls due up to and with `until`, by date; each task's open occurrence first.

    What is behind is assumed done today. Use goes on at its recent rate, so its dates are about;
    readings cannot be foreseen. Seasons beyond those on record follow the plan.
    """
    views = {tub_id: view_of(tub, today) for tub_id, tub in tubs.items()}
    found: list[Occurrence] = []
    for task in tasks:
        found += _of_task(task, facts.get(task.id, NO_FACTS), views[task.tub_id], today, until)
    found.sort(key=lambda each: (each.due_on, each.task_id))
    return found


def _of_task(
    task: Task, facts: TaskFacts, view: View, today: date, until: date
) -> list[Occurrence]:
    counters = [t.counter for t in task.triggers if isinstance(t, UseTrigger)]
    found: list[Occurrence] = []
    tub, day = view.tub, today
    for turn in range(_MOST_FOR_ONE_TASK):
        each = open_occurrence(task, facts, view)
        if each is None or each.due_on > until:
            break
        if turn and each.status is not Status.COMING:
            # It lies ahead of today, whatever the state of the tub on the day before it.
            each = each._replace(status=Status.COMING)
        found.append(each)
        if isinstance(each.reason, ReadingReason):
            tub = replace(tub, readings={})
        # A date that comes again on the day it was done would never let the plan move on.
        day = max(each.due_on, day)
        moved = _run_on(tub, counters, today, day) if counters else tub
        if moved is not view.tub:
            view = view._replace(tub=moved)
        ordinal = day.toordinal()
        view = view_at(view, ordinal, task.form.scope)
        facts = TaskFacts(closing=_closing(each, day, turn, moved, counters))
    return found


def _closing(
    each: Occurrence, on: date, turn: int, tub: TubFacts, counters: list[Counter]
) -> Closing:
    return Closing(
        id=CompletionId(-1 - turn),
        key=each.key,
        outcome=Outcome.DONE,
        on=on,
        due_on=each.due_on,
        anchor_day=each.anchor_day,
        counters={name: tub.counters[name].now for name in counters if name in tub.counters},
    )


def _run_on(tub: TubFacts, counters: list[Counter], today: date, day: date) -> TubFacts:
    """Return the tub with its counters run on to a later day at their recent rate."""
    later = dict(tub.counters)
    for name in counters:
        state = later.get(name)
        if state is not None:
            days = max(0, (day - max(today, state.as_of)).days)
            later[name] = CounterState(
                now=state.now + state.daily_rate * days,
                daily_rate=state.daily_rate,
                as_of=max(day, state.as_of),
            )
    return replace(tub, counters=later)
