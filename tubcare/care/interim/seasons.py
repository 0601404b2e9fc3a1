"""When a tub is open: what is on record, then what is planned."""

from __future__ import annotations

from bisect import bisect_right
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.care.terms import Scope, TubState

if TYPE_CHECKING:
    from tubcare.care.facts import SeasonPlan, StateChange, TubFacts
    from tubcare.values import MonthDay

ONE_DAY = timedelta(days=1)
IN_SEASON = frozenset({TubState.OPEN, TubState.CHILLER_RESTING})
LOOK_AHEAD_YEARS = 3


class Seasons:
    """The states of one tub over time.

    Up to `today` what is on record counts; a tub that was opened stays open past its planned
    closing until it is closed. After today the plan goes on from there. Without any record the
    plan alone counts, and without a plan the tub is open.
    """

    __slots__ = ("_days", "_states", "_today", "plan", "starts")

    def __init__(self, tub: TubFacts, today: date) -> None:
        self.plan = tub.plan
        self._today = today
        self.starts = tuple(c for c in tub.states if c.on <= today)
        turns = [(c.on, c.state) for c in tub.states]
        last = turns[-1][1] if turns else None
        turns += _planned_turns(tub.plan, turns[-1][0] if turns else None, last, today)
        self._days = [on for on, _state in turns]
        self._states = [state for _on, state in turns]

    def state(self, day: date) -> TubState:
        """Return the state on a day."""
        at = bisect_right(self._days, day) - 1
        if at >= 0:
            return self._states[at]
        if self.plan is None or _in_plan(self.plan, day):
            return TubState.OPEN
        return TubState.CLOSED

    def alive(self, scope: Scope, day: date) -> bool:
        """Return whether tasks of a scope are alive on a day."""
        state = self.state(day)
        if state is TubState.RETIRED:
            return False
        if scope is Scope.ALWAYS:
            return True
        if scope is Scope.IN_SEASON:
            return state in IN_SEASON
        return state is TubState.CLOSED

    def started(self, scope: Scope, day: date) -> StateChange | None:
        """Return the change on record with which the current stretch of a scope began."""
        if scope is Scope.ALWAYS:
            return None
        began: StateChange | None = None
        for change in self.starts:
            if change.on > day:
                break
            inside = (
                change.state in IN_SEASON
                if scope is Scope.IN_SEASON
                else change.state is TubState.CLOSED
            )
            if not inside:
                began = None if change.state is not TubState.PAUSED else began
            elif began is None:
                began = change
        return began

    def next_start(self, scope: Scope, day: date) -> date | None:
        """Return the first day from `day` on, on which a scope is alive."""
        if self.alive(scope, day):
            return day
        for on in [*self._days, *self._plan_days(day)]:
            if on > day and self.alive(scope, on):
                return on
        return None

    def dead_days(self, scope: Scope, after: date, until: date) -> int:
        """Return how many days of after+1..until a scope was not alive."""
        if scope is Scope.ALWAYS or until <= after:
            return 0
        edges = sorted({d for d in [*self._days, *self._plan_days(after)] if after < d <= until})
        total, day = 0, after + ONE_DAY
        for edge in [*edges, until + ONE_DAY]:
            if edge > day:
                if not self.alive(scope, day):
                    total += (edge - day).days
                day = edge
        return total

    def edge_dates(self, opening: bool, first: date, last: date) -> list[tuple[date, bool]]:  # noqa: FBT001  which of two edges
        """Return the openings or closings in first..last, each with whether it is only planned."""
        found: list[tuple[date, bool]] = []
        recorded = {change.on for change in self.starts}
        before: TubState | None = None
        for on, state in zip(self._days, self._states, strict=True):
            was_in = before in IN_SEASON or before in {TubState.PAUSED, TubState.OUT_OF_ORDER}
            turned = (
                (state in IN_SEASON and not was_in)
                if opening
                else (state is TubState.CLOSED and before is not TubState.CLOSED)
            )
            if turned and first <= on <= last:
                found.append((on, on not in recorded))
            before = state
        if not self.starts and self.plan is not None:
            edge = self.plan.opens if opening else self.plan.closes
            known = {on for on, _planned in found}
            for year in range(first.year, last.year + 1):
                on = in_year(edge, year)
                if first <= on <= last and on not in known:
                    found.append((on, True))
        return sorted(found)

    def _plan_days(self, day: date) -> list[date]:
        if self.plan is None or self._days:
            return []
        years = range(day.year - 1, day.year + LOOK_AHEAD_YEARS)
        edges = (self.plan.opens, self.plan.closes)
        return sorted(in_year(edge, year) for year in years for edge in edges)


def in_year(day: MonthDay, year: int) -> date:
    """Return the day in a year; 29 February falls on the 28th in short years."""
    if day.month == 2 and day.day == 29:
        return date(year, 3, 1) - ONE_DAY
    return date(year, day.month, day.day)


def _in_plan(plan: SeasonPlan, day: date) -> bool:
    opens, closes = in_year(plan.opens, day.year), in_year(plan.closes, day.year)
    if opens < closes:
        return opens <= day < closes
    return day >= opens or day < closes


def _planned_turns(
    plan: SeasonPlan | None, last_on: date | None, last: TubState | None, today: date
) -> list[tuple[date, TubState]]:
    """Return the turns that the plan foresees after today, going on from the last record."""
    if plan is None or last is None or last_on is None or last is TubState.RETIRED:
        return []
    turns: list[tuple[date, TubState]] = []
    closed = last is TubState.CLOSED
    day = max(today, last_on)
    for _turn in range(2 * LOOK_AHEAD_YEARS):
        edge = plan.opens if closed else plan.closes
        day = next(on for year in (day.year, day.year + 1) if (on := in_year(edge, year)) > day)
        turns.append((day, TubState.OPEN if closed else TubState.CLOSED))
        closed = not closed
    return turns
