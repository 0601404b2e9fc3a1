"""What is due: the one open occurrence of each task, worked out from the facts alone."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tubcare.care.due_base import EDGE_INTERVAL_DAYS, Candidate, base_of, view_of
from tubcare.care.due_dates import by_calendar, once
from tubcare.care.due_elapsed import by_elapsed, first_date
from tubcare.care.due_events import by_reading, by_season, by_use
from tubcare.care.facts import NO_FACTS
from tubcare.care.model import Occurrence
from tubcare.care.terms import Status, TubState
from tubcare.care.triggers import (
    CalendarTrigger,
    ElapsedTrigger,
    ReadingTrigger,
    SeasonTrigger,
    UseTrigger,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from tubcare.care.due_base import Base, View
    from tubcare.care.facts import PutOff, TaskFacts, TubFacts
    from tubcare.care.model import Task
    from tubcare.care.triggers import Trigger
    from tubcare.values import TaskId, TubId

_ON_TIME_SHARE = 0.10
_LATE_SHARE = 0.25
_fromordinal = date.fromordinal
# Looked up once: an attribute of an enumeration costs more than all arithmetic here.
_COMING, _DUE, _LATE, _OVERDUE, _ASLEEP = (
    Status.COMING,
    Status.DUE,
    Status.LATE,
    Status.OVERDUE,
    Status.ASLEEP,
)


def occurrence(
    task: Task, facts: TaskFacts | None, tub: TubFacts, today: date
) -> Occurrence | None:
    """Return the open occurrence of a task, None when nothing makes it due any more.

    Parameters
    ----------
    facts
        What is on record about the task; None for nothing.
    today
        The local date of the tub. For work entered with an earlier date pass that date: what was
        open then is what the work closes.
    """
    return open_occurrence(task, facts or NO_FACTS, view_of(tub, today))


def occurrences(
    tasks: Iterable[Task],
    facts: Mapping[TaskId, TaskFacts],
    tubs: Mapping[TubId, TubFacts],
    today: date,
) -> list[Occurrence]:
    """Return the open occurrence of every task that has one, in the order of the tasks.

    `today` is the local date of all the tubs given; call once for each zone.
    """
    views = {tub_id: view_of(tub, today) for tub_id, tub in tubs.items()}
    found = []
    for task in tasks:
        each = open_occurrence(task, facts.get(task.id, NO_FACTS), views[task.tub_id])
        if each is not None:
            found.append(each)
    return found


def closes_coming(coming: Occurrence, on: date) -> bool:
    """Return whether work done freely on a day closes the coming occurrence.

    It does from the first day of the window on; before that the person is asked whether the clock
    starts again.
    """
    return on >= coming.opens_on


def open_occurrence(task: Task, facts: TaskFacts, view: View) -> Occurrence | None:
    """Return the open occurrence of a task in a view of its tub."""
    if view.state is TubState.RETIRED:
        return None
    base = base_of(task, facts, view)
    triggers = task.triggers
    if len(triggers) == 1 and not task.form.first:
        best = _asked(task, triggers[0], facts, base, view)
    else:
        best = _earliest(task, triggers, facts, base, view)
    if best is None:
        return None
    key = f"{base.key}@{best.label}" if best.label and task.form.labelled else base.key
    if facts.put_offs:
        moves = [move for move in facts.put_offs if move.key == key]
        if moves:
            best = _put_off(task, facts, base, view, moves) or best
    return _occurrence(task, base, best, key, view)


def _earliest(
    task: Task, triggers: Iterable[Trigger], facts: TaskFacts, base: Base, view: View
) -> Candidate | None:
    """Return the earliest day that any of the triggers asks for, the first listed of equals."""
    best = None
    for trigger in triggers:
        found = _asked(task, trigger, facts, base, view)
        if found is not None and (best is None or found.due < best.due):
            best = found
    if task.form.first and base.closing is None and task.first_due_on is not None:
        first = first_date(task.first_due_on, base, EDGE_INTERVAL_DAYS)
        if best is None or first.due < best.due:
            best = first
    return best


def _asked(
    task: Task, trigger: Trigger, facts: TaskFacts, base: Base, view: View
) -> Candidate | None:
    """Return the day that one trigger asks for."""
    found: Candidate | None
    if isinstance(trigger, CalendarTrigger):
        found = by_calendar(task, trigger, base, view)
    elif isinstance(trigger, ElapsedTrigger):
        found = by_elapsed(task, trigger, base)
    elif isinstance(trigger, ReadingTrigger):
        found = by_reading(trigger, base, view)
    elif isinstance(trigger, UseTrigger):
        found = by_use(task, trigger, base, facts, view)
    elif isinstance(trigger, SeasonTrigger):
        found = by_season(task, trigger, base, view)
    else:
        found = once(task, trigger, base)
    return found


def _put_off(
    task: Task, facts: TaskFacts, base: Base, view: View, moves: list[PutOff]
) -> Candidate | None:
    """Return the occurrence as put off, None where that no longer counts.

    It ends with a newer date of a calendar rule, and it never overrules a reading.
    """
    plain = [t for t in task.triggers if not isinstance(t, ReadingTrigger)]
    best = _earliest(task, plain, facts, base, view)
    if best is None or _superseded(task, facts, base, view, moves[-1]):
        return None
    moved = best._replace(
        due=moves[-1].to.toordinal(), moves=len(moves), moved_from=best.due, anchor_day=None
    )
    asked = [t for t in task.triggers if isinstance(t, ReadingTrigger)]
    reading = _earliest(task, asked, facts, base, view) if asked else None
    return reading if reading is not None and reading.due < moved.due else moved


def _superseded(task: Task, facts: TaskFacts, base: Base, view: View, move: PutOff) -> bool:
    """Return whether a calendar date newer than the one put off has come since.

    The key of a task with calendar rules alone names its date, so that nothing is left to ask.
    """
    if task.form.labelled or not task.form.rules:
        return False
    made = move.made_on.toordinal()
    rules = [t for t in task.triggers if isinstance(t, CalendarTrigger)]
    others = [t for t in task.triggers if not isinstance(t, CalendarTrigger | ReadingTrigger)]
    come: list[int] = []
    for trigger in rules:
        found = by_calendar(task, trigger, base, view)
        if found is not None and found.due <= view.today:
            come += [*found.missed, found.due]
    come.sort()
    if not come:
        return False
    open_then = max((day for day in come if day <= made), default=come[0])
    other = _earliest(task, others, facts, base, view)
    put_off_day = open_then if other is None else min(open_then, other.due)
    return any(day > made and day > put_off_day for day in come)


def _occurrence(task: Task, base: Base, best: Candidate, key: str, view: View) -> Occurrence:
    due, reason, interval, _label, about, missed, anchor, moves, moved_from, at_once = best
    today, days = view.today, base.days
    tolerance = task.tolerance
    if tolerance is None:
        on_time = int(interval * _ON_TIME_SHARE) or 1
        overdue = int(interval * _LATE_SHARE)
        overdue = overdue if overdue > on_time else on_time + 1
    else:
        on_time, overdue = tolerance.on_time_days, tolerance.overdue_days
    grace = on_time
    if task.no_grace:
        # What is on time for others is late here, what is late for others overdue.
        grace, overdue = 0, on_time
    late_after, overdue_after = due + grace, due + overdue
    if today < due:
        status = _COMING
    else:
        if days is not None and not (base.live_from <= due and overdue_after < base.live_until):
            late_after, overdue_after = days.later(due, grace), days.later(due, overdue)
        if today <= late_after or task.cosmetic:
            status = _DUE
        else:
            status = _LATE if today <= overdue_after else _OVERDUE
    if today < base.live_from or (task.form.rests and view.state is TubState.CHILLER_RESTING):
        status = _ASLEEP
    return Occurrence(
        task.id,
        key,
        status,
        _fromordinal(due if at_once else due - on_time),
        _fromordinal(due),
        None if task.cosmetic else _fromordinal(late_after),
        None if task.cosmetic else _fromordinal(overdue_after),
        reason,
        about,
        tuple(map(_fromordinal, missed)) if missed else (),
        moves,
        None if moved_from is None else _fromordinal(moved_from),
        anchor,
    )
