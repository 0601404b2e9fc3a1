"""What the open occurrence of a task counts from. Days are ordinals (`date.toordinal`)."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from tubcare.care.edges import Edges, edges_of
from tubcare.care.terms import Edge, Outcome, OutOfScope, Scope, TubState
from tubcare.care.timeline import ScopeDays, Timeline, timeline_of
from tubcare.care.triggers import ElapsedTrigger

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.care.facts import Closing, TaskFacts, TubFacts
    from tubcare.care.model import Task
    from tubcare.care.reasons import Reason
    from tubcare.care.timeline import Season
    from tubcare.care.triggers import Interval


#: What stands for the interval where a trigger has none: season edges and single dates.
EDGE_INTERVAL_DAYS = 30.0
#: A day after all days.
NEVER = date.max.toordinal() + 1


class ScopeView(NamedTuple):
    """A scope on one day: its days, and its present or else next season.

    `live_from` and `live_until` (excluded) bound the live days around that day; there are none
    where it is not alive.
    """

    days: ScopeDays
    season: Season | None
    live_from: int
    live_until: int


class View(NamedTuple):
    """A tub on one day: what is on record, its timeline, its edges, and the day."""

    tub: TubFacts
    timeline: Timeline
    edges: Mapping[tuple[Edge, int | None], Edges]
    today: int
    state: TubState
    in_season: ScopeView
    closed_season: ScopeView


def view_of(tub: TubFacts, today: date) -> View:
    """Return the tub as it looks on `today`."""
    timeline = timeline_of(tub, today)
    now = today.toordinal()
    return View(
        tub,
        timeline,
        edges_of(tub, timeline, now),
        now,
        timeline.state(now),
        _scope_view(timeline.in_season, now),
        _scope_view(timeline.closed_season, now),
    )


def view_at(view: View, day: int, scope: Scope) -> View:
    """Return the same tub on another day, for tasks of one scope, as far as it is known today."""
    timeline = view.timeline
    state = timeline.state(day)
    if scope is Scope.ALWAYS:
        return view._replace(today=day, state=state)
    if scope is Scope.IN_SEASON:
        in_season = _scope_view(timeline.in_season, day)
        return view._replace(today=day, state=state, in_season=in_season)
    closed_season = _scope_view(timeline.closed_season, day)
    return view._replace(today=day, state=state, closed_season=closed_season)


def _scope_view(days: ScopeDays, day: int) -> ScopeView:
    at = days.stretch(day)
    if at < 0:
        return ScopeView(days, days.season(day), NEVER, NEVER)
    return ScopeView(days, days.season(day), days.starts[at], days.ends[at])


class Base(NamedTuple):
    """What the open occurrence counts from.

    `since` is the day of the last time or the start, `through` the last day that is dealt with.
    `season` is the first day of the scope's season, the present or else the next one, 0 where the
    task is always alive; `anew` says that the clock starts there. From `live_from` up to before
    `live_until` every day counts and is alive: there the plain arithmetic of dates holds.
    """

    key: str
    since: int
    through: int
    season: int
    anew: bool
    closing: Closing | None
    days: ScopeDays | None
    live_from: int
    live_until: int


class Candidate(NamedTuple):
    """A day that a trigger asks for; `label` tells apart the days of triggers with set dates."""

    due: int
    reason: Reason
    interval_days: float
    label: str = ""
    about: bool = False
    missed: tuple[int, ...] = ()
    anchor_day: int | None = None
    moves: int = 0
    moved_from: int | None = None
    at_once: bool = False


def base_of(task: Task, facts: TaskFacts, view: View) -> Base:
    """Return what the open occurrence counts from: the last closing, the season, or the start."""
    closing = facts.closing
    if closing is None:
        key = f"start:{task.id}"
        since = task.starts_on.toordinal()
        through = since - 1
    else:
        key = f"done:{closing.id}"
        since = through = closing.on.toordinal()
        due_on = closing.due_on
        if due_on is not None and due_on != closing.on:
            due = due_on.toordinal()
            if due > since:
                through = max(since, _nominal(closing.key, due))
            if closing.outcome is Outcome.SKIPPED:
                since = due
    scope = task.form.scope
    if scope is Scope.ALWAYS:
        return Base(key, since, through, 0, False, closing, None, 0, NEVER)  # noqa: FBT003  a plain tuple
    days, season, live_from, live_until = (
        view.in_season if scope is Scope.IN_SEASON else view.closed_season
    )
    if season is None:
        return Base(key, since, through, 0, False, closing, days, live_from, live_until)  # noqa: FBT003  a plain tuple
    anew = (
        season.start > since
        and task.out_of_scope is OutOfScope.MOVE_TO_START
        and _starts_anew(task, closing, season)
        and not _closed_already(closing, season)
    )
    if anew and season.id is not None and season.start <= view.today:
        key = f"open:{season.id}"
    return Base(key, since, through, season.start, anew, closing, days, live_from, live_until)


def _closed_already(closing: Closing | None, season: Season) -> bool:
    """Return whether what this season's opening made due is done, if dated back before it."""
    if closing is None or season.id is None:
        return False
    return closing.key.partition("@")[0] == f"open:{season.id}"


def _nominal(key: str, due: int) -> int:
    """Return the date of the rule that a key names, else the due date: put-offs move only that."""
    label = key.partition("@")[2]
    if len(label) == 10 and label[0].isdigit():
        return date.fromisoformat(label).toordinal()
    return due


def chosen_interval(task: Task, trigger: ElapsedTrigger, closing: Closing | None) -> Interval:
    """Return the interval that counts after the last closing: its result may have chosen one."""
    if closing is not None and closing.result is not None:
        return task.result_intervals.get(closing.result, trigger.every)
    return trigger.every


def _starts_anew(task: Task, closing: Closing | None, season: Season) -> bool:
    """Return whether the clock starts again with a season that began after the last time.

    Intervals that do not fit into the season run on instead: starting again they would never end.
    """
    first = task.first_due_on
    if closing is None and first is not None and first.toordinal() >= season.start:
        return False
    intervals = [
        chosen_interval(task, trigger, closing)
        for trigger in task.triggers
        if isinstance(trigger, ElapsedTrigger)
    ]
    return not intervals or any(fits(every, season) for every in intervals)


def fits(every: Interval, season: Season) -> bool:
    """Return whether an interval that starts with the season ends in it."""
    return every.after(date.fromordinal(season.start)).toordinal() < season.end
