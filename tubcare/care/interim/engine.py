"""What is due: the one open occurrence of each task, from the facts alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.interim.due_dates import Base, Candidate, base_of, earliest
from tubcare.care.interim.seasons import Seasons
from tubcare.care.interim.windows import window_of
from tubcare.care.model import (
    NO_FACTS,
    CalendarTrigger,
    Occurrence,
    OnceTrigger,
    PutOff,
    ReadingReason,
    Status,
    Task,
    TaskFacts,
    TubFacts,
)
from tubcare.care.terms import TubState

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from tubcare.values import TaskId, TubId


def occurrence(
    task: Task, facts: TaskFacts | None, tub: TubFacts, today: date
) -> Occurrence | None:
    """Return the open occurrence of a task, None when it has none to come.

    Parameters
    ----------
    facts
        What is on record about the task; None for nothing.
    today
        The local date of the tub.
    """
    return _open(task, facts or NO_FACTS, tub, Seasons(tub, today), today)


def occurrences(
    tasks: Iterable[Task],
    facts: Mapping[TaskId, TaskFacts],
    tubs: Mapping[TubId, TubFacts],
    today: date,
) -> list[Occurrence]:
    """Return the open occurrence of every task that has one, in the order of the tasks."""
    seasons = {tub_id: Seasons(tub, today) for tub_id, tub in tubs.items()}
    found: list[Occurrence] = []
    for task in tasks:
        tub = tubs[task.tub_id]
        each = _open(task, facts.get(task.id, NO_FACTS), tub, seasons[task.tub_id], today)
        if each is not None:
            found.append(each)
    return found


def closes_coming(coming: Occurrence, on: date) -> bool:
    """Return whether work done freely on a day closes the coming occurrence."""
    return on >= coming.opens_on


def _open(
    task: Task, facts: TaskFacts, tub: TubFacts, seasons: Seasons, today: date
) -> Occurrence | None:
    if seasons.state(today) is TubState.RETIRED:
        return None
    base = base_of(task, facts, seasons, today)
    candidate = earliest(task, base, tub, seasons, today)
    if candidate is None:
        return None
    key = _key(task, base, candidate)
    due_on, moves, from_on = _put_off(candidate, facts.put_offs, key)
    window = window_of(task, candidate, due_on)
    alive = seasons.alive(task.scope, today)
    late_after, overdue_after = window.late_after, window.overdue_after
    if not alive:
        status = Status.ASLEEP
    elif today < due_on:
        status = Status.COMING
    elif late_after is None or today <= late_after:
        status = Status.DUE
    elif overdue_after is None or today <= overdue_after:
        status = Status.LATE
    else:
        status = Status.OVERDUE
    return Occurrence(
        task_id=task.id,
        key=key,
        status=status,
        opens_on=window.opens_on,
        due_on=due_on,
        late_after=late_after,
        overdue_after=overdue_after,
        reason=candidate.reason,
        about=candidate.about,
        missed=candidate.missed,
        put_offs=moves,
        put_off_from=from_on,
        anchor_day=candidate.anchor_day,
    )


def _key(task: Task, base: Base, candidate: Candidate) -> str:
    if candidate.rule_on is None or not _by_calendar_alone(task):
        return base.key
    return f"{base.key}@{candidate.rule_on.isoformat()}"


def _by_calendar_alone(task: Task) -> bool:
    return all(isinstance(t, CalendarTrigger | OnceTrigger) for t in task.triggers)


def _put_off(
    candidate: Candidate, put_offs: tuple[PutOff, ...], key: str
) -> tuple[date, int, date | None]:
    """Return the due date after put-offs of this occurrence, their number, the date before."""
    moves = [move for move in put_offs if move.key == key] if put_offs else []
    if not moves or isinstance(candidate.reason, ReadingReason):
        return candidate.due_on, 0, None
    return moves[-1].to, len(moves), candidate.due_on
