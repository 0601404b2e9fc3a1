"""Rolls the plan forward: every occurrence is assumed done on its due date."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.care.interim.engine import occurrence
from tubcare.care.interim.rules import recurrence
from tubcare.care.model import (
    NO_FACTS,
    CalendarTrigger,
    Closing,
    Counter,
    CounterState,
    Occurrence,
    Outcome,
    ReadingReason,
    Status,
    Task,
    TaskFacts,
    TubFacts,
    UseTrigger,
)
from tubcare.care.triggers import ElapsedTrigger, OnceTrigger
from tubcare.values import CompletionId

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from tubcare.care.model import Trigger
    from tubcare.values import TaskId, TubId

MOST_FOR_ONE_TASK = 400


def forecast(
    tasks: Iterable[Task],
    facts: Mapping[TaskId, TaskFacts],
    tubs: Mapping[TubId, TubFacts],
    today: date,
    until: date,
) -> list[Occurrence]:
    """Return what falls due up to and with `until`, the open occurrences first, by date.

    What is behind is assumed done today. Reading triggers cannot be foreseen; use triggers go on
    at the recent rate, so their dates are about.
    """
    found: list[Occurrence] = []
    for task in tasks:
        found += _of_task(task, facts.get(task.id, NO_FACTS), tubs[task.tub_id], today, until)
    return sorted(found, key=lambda each: (each.due_on, each.task_id))


def next_dates(trigger: Trigger, start: date, count: int) -> list[date]:
    """Return the next dates that a calendar, elapsed or single trigger would give from a day on.

    Others depend on facts to come and give none.
    """
    if isinstance(trigger, CalendarTrigger):
        dates: list[date] = []
        rule = recurrence(trigger.rule, trigger.start)
        day = rule.on_or_after(start)
        while day is not None and len(dates) < count:
            dates.append(day)
            day = rule.on_or_after(day.fromordinal(day.toordinal() + 1))
        return dates
    if isinstance(trigger, ElapsedTrigger):
        return [trigger.every.after(start, times) for times in range(1, count + 1)]
    if isinstance(trigger, OnceTrigger):
        return [trigger.on]
    return []


def _of_task(
    task: Task, facts: TaskFacts, tub: TubFacts, today: date, until: date
) -> list[Occurrence]:
    found: list[Occurrence] = []
    day = today
    counters = frozenset(t.counter for t in task.triggers if isinstance(t, UseTrigger))
    for turn in range(MOST_FOR_ONE_TASK):
        each = occurrence(task, facts, _moved(tub, counters, today, day), day)
        if each is None or each.due_on > until:
            break
        if each.status is not Status.ASLEEP or turn == 0:
            found.append(each)
        done_on = max(each.due_on, day)
        if isinstance(each.reason, ReadingReason):
            tub = replace(tub, readings={})
        facts = TaskFacts(closing=_closed(each, done_on, turn, counters, tub, today))
        day = max(day, done_on)
    return found


def _closed(
    each: Occurrence,
    on: date,
    turn: int,
    counters: frozenset[Counter],
    tub: TubFacts,
    today: date,
) -> Closing:
    moved = _moved(tub, counters, today, on)
    return Closing(
        id=CompletionId(-1 - turn),
        key=each.key,
        outcome=Outcome.DONE,
        on=on,
        due_on=each.due_on,
        anchor_day=each.anchor_day,
        counters={c: moved.counters[c].now for c in counters if c in moved.counters},
    )


def _moved(tub: TubFacts, counters: frozenset[Counter], today: date, day: date) -> TubFacts:
    """Return the tub with its counters run on to a later day at their recent rate."""
    if not counters or day <= today:
        return tub
    later = dict(tub.counters)
    for counter in counters & later.keys():
        state = later[counter]
        days = (day - today).days
        later[counter] = CounterState(
            now=state.now + state.daily_rate * days, daily_rate=state.daily_rate, as_of=day
        )
    return replace(tub, counters=later)
