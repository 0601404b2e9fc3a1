"""The day that an interval since the last time asks for, as an ordinal."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tubcare.care.due_base import Base, Candidate, chosen_interval, fits
from tubcare.care.reasons import ElapsedReason, FirstReason
from tubcare.care.terms import Outcome, OutOfScope, Scope

if TYPE_CHECKING:
    from tubcare.care.model import Task
    from tubcare.care.timeline import ScopeDays
    from tubcare.care.triggers import ElapsedTrigger, Interval

_fromordinal = date.fromordinal


def by_elapsed(task: Task, trigger: ElapsedTrigger, base: Base) -> Candidate:
    """Return the day an interval after the last time, the skipped date, or the season's start.

    A skip runs on from the date that was skipped, to the first one after the day of the skip.
    """
    closing, since, days = base.closing, base.since, base.days
    if closing is None and task.first_due_on is not None and not base.anew:
        return first_date(task.first_due_on, base, trigger.every.days)
    every = trigger.every if closing is None else chosen_interval(task, trigger, closing)
    start = _fromordinal(since)
    anchor, low = start.day, 0
    if closing is not None:
        skipped = closing.outcome is Outcome.SKIPPED
        low = closing.on.toordinal() + 1 if skipped else 0
        if closing.anchor_day is not None and (skipped or closing.on == closing.due_on):
            anchor = closing.anchor_day
    fixed = every.fixed_days
    due = since + fixed if fixed else every.after(start, anchor_day=anchor).toordinal()
    if due < low:
        due = _grid(every, since, low, anchor)
    anew, paused = False, 0
    plain = base.live_from <= since and due < base.live_until
    if days is not None and not (plain or _in_one_stretch(days, base, due)):
        due, began, paused = _in_scope(task, every, base, days, due, anchor)
        if began:
            start, anew = _fromordinal(began), True
    result = None
    if closing is not None and every is not trigger.every:
        result = closing.result
    closed = anew and task.form.scope is Scope.CLOSED_SEASON
    reason = ElapsedReason(every, start, anew and not closed, paused, result, closed)
    kept = anchor if anchor > 28 and not (fixed or paused or anew) else None
    return Candidate(due, reason, every.days, "", False, (), kept)  # noqa: FBT003  a plain tuple


def _in_one_stretch(days: ScopeDays, base: Base, due: int) -> bool:
    """Return whether the clock ran through live days of this season alone."""
    at = days.stretch(due)
    return at >= 0 and days.starts[at] <= base.since and due >= base.season


def _grid(every: Interval, since: int, low: int, anchor: int) -> int:
    """Return the first day from `low` on that lies whole intervals after `since`."""
    start = _fromordinal(since)
    times = max(1, int((low - since) / every.days) - 1)
    while (due := every.after(start, times, anchor_day=anchor).toordinal()) < low:
        times += 1
    return due


def _in_scope(
    task: Task, every: Interval, base: Base, days: ScopeDays, due: int, anchor: int
) -> tuple[int, int, int]:
    """Return due day, first day of the season that the clock started with or 0, days left out."""
    since = base.since
    if task.out_of_scope is OutOfScope.STOP_CLOCK:
        moved = days.later(since, due - since)
        return moved, 0, moved - due
    if task.out_of_scope is OutOfScope.MOVE_TO_START:
        return _moved(every, base, days, due)
    low = max(due, base.season)
    while True:
        due = _grid(every, since, low, anchor)
        alive = days.alive_from(due)
        if alive is None or alive == due:
            return due, 0, 0
        low = alive


def _moved(every: Interval, base: Base, days: ScopeDays, due: int) -> tuple[int, int, int]:
    """Return the same for a clock that starts anew with each season."""
    season = days.season(max(due, base.season) if base.since >= base.season else base.season)
    if season is None:
        return due, 0, 0
    if season.start <= base.since:
        # A pause inside the season: what fell due in it is due when it ends.
        return (days.alive_from(due) or due), 0, 0
    if fits(every, season):
        due = every.after(_fromordinal(season.start)).toordinal()
        return (days.alive_from(due) or due), season.start, 0
    return (days.alive_from(max(due, season.start)) or due), 0, 0


def first_date(first: date, base: Base, interval_days: float) -> Candidate:
    """Return the chosen first date, moved into the scope."""
    due = first.toordinal()
    if base.days is not None:
        due = base.days.alive_from(max(due, base.season)) or due
    return Candidate(due, FirstReason(on=first), interval_days)
