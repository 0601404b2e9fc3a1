"""The days that calendar rules and single dates ask for, as ordinals."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tubcare.care.due_base import EDGE_INTERVAL_DAYS, Base, Candidate, View
from tubcare.care.reasons import OnceReason, RuleReason
from tubcare.care.terms import OutOfScope

if TYPE_CHECKING:
    from tubcare.care.model import Task
    from tubcare.care.timeline import ScopeDays
    from tubcare.care.triggers import CalendarTrigger, OnceTrigger

_MISSED_BACK_DAYS = 366
_fromordinal = date.fromordinal


def by_calendar(task: Task, trigger: CalendarTrigger, base: Base, view: View) -> Candidate | None:
    """Return the newest date of the rule that has come, else the next one.

    Dates outside the scope fall away, or move to its start where the task says so.
    """
    rule = trigger.compiled
    today = view.today
    low = base.through + 1
    if base.closing is None and task.first_due_on is not None:
        low = max(low, task.first_due_on.toordinal())
    if base.days is not None and low < base.live_from:
        return _in_scope(task, trigger, base, base.days, low, today)
    at = rule.first(low)
    if at is None:
        return None
    if at > today:
        if base.days is not None and at >= base.live_until:
            return _in_scope(task, trigger, base, base.days, low, today)
        return _on_rule(trigger, at, at, ())
    come = rule.scan(max(low, today - _MISSED_BACK_DAYS), today) or _newest(trigger, at, today)
    at = come.pop()
    return _on_rule(trigger, at, at, tuple(come))


def _newest(trigger: CalendarTrigger, first: int, today: int) -> list[int]:
    """Return the newest date that has come, where it lies further back than missed dates go."""
    low = today
    while True:
        low = max(first, low - 10 * _MISSED_BACK_DAYS)
        come = trigger.compiled.scan(low, today)
        if come:
            return come[-1:]


def _in_scope(
    task: Task, trigger: CalendarTrigger, base: Base, days: ScopeDays, low: int, today: int
) -> Candidate | None:
    """Return the same for a task that is alive in its scope alone."""
    rule = trigger.compiled
    moves = task.out_of_scope is OutOfScope.MOVE_TO_START
    gap = 0
    if task.out_of_scope is not OutOfScope.STOP_CLOCK and low < base.season:
        if moves:
            gap = _in_gap(rule.scan(max(low, today - _MISSED_BACK_DAYS), base.season - 1), days)
        low = base.season
    pairs = [(base.season, gap)] if gap and base.season <= today else []
    if low <= today:
        at = rule.first(low)
        if at is None:
            return _on_rule(trigger, base.season, gap, ()) if gap else None
        if at <= today:
            come = rule.scan(max(low, today - _MISSED_BACK_DAYS), today)
            pairs += _alive_dates(come, days, today, moves=moves)
        elif not pairs and days.alive(at):
            return _on_rule(trigger, at, at, ())
    if pairs:
        due, at = pairs[-1]
        return _on_rule(trigger, due, at, tuple(pair[1] for pair in pairs[:-1]))
    if gap:
        return _on_rule(trigger, base.season, gap, ())
    return _next_on_rule(trigger, max(low, today + 1), days, moves=moves)


def _on_rule(trigger: CalendarTrigger, due: int, at: int, missed: tuple[int, ...]) -> Candidate:
    on = _fromordinal(at)
    reason = RuleReason(trigger.rule, on, on if due != at else None)
    return Candidate(due, reason, trigger.compiled.gap_days, on.isoformat(), False, missed)  # noqa: FBT003  a plain tuple


def _in_gap(dates: list[int], days: ScopeDays) -> int:
    """Return the first of the dates that lies between two seasons, 0 for none."""
    for at in dates:
        season = days.season(at)
        if season is None or at < season.start:
            return at
    return 0


def _alive_dates(
    dates: list[int], days: ScopeDays, today: int, *, moves: bool
) -> list[tuple[int, int]]:
    """Return due day and rule date of those in scope; `moves` keeps the ones in a pause."""
    found = []
    for at in dates:
        if days.alive(at):
            found.append((at, at))
        elif moves:
            due = days.alive_from(at)
            if due is not None and due <= today:
                found.append((due, at))
    return found


def _next_on_rule(
    trigger: CalendarTrigger, low: int, days: ScopeDays, *, moves: bool
) -> Candidate | None:
    """Return the first date from `low` on that is in scope, or is moved into it."""
    at = trigger.compiled.first(low)
    while at is not None:
        due = days.alive_from(at)
        if due is None:
            return None
        if due == at or moves:
            return _on_rule(trigger, due, at, ())
        at = trigger.compiled.first(due)
    return None


def once(task: Task, trigger: OnceTrigger, base: Base) -> Candidate | None:
    """Return the one date, unless it is dealt with; a date before the task began is its start."""
    due = max(trigger.on, task.starts_on).toordinal()
    if base.closing is not None and (task.form.once or base.through >= due):
        return None
    return Candidate(due, OnceReason(on=trigger.on), EDGE_INTERVAL_DAYS, trigger.on.isoformat())
