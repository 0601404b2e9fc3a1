"""When a tub is open and when its tasks are alive: what is on record, then what is planned.

Days are ordinals (`date.toordinal`). What is on record wins. After it the plan goes on: a tub that
is open stays open past its planned closing until it is closed; a closed tub whose planned season
has begun is expected to open tomorrow, and so is one that is paused or out of order to go on.
Without any record the plan alone counts, and without a plan the tub is open all year.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from tubcare.care.terms import TubState

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tubcare.care.facts import SeasonPlan, TubFacts
    from tubcare.values import MonthDay

IN_USE = frozenset({TubState.OPEN, TubState.CHILLER_RESTING})
_FULL = IN_USE | {TubState.PAUSED}
_OFF = frozenset({TubState.CLOSED, TubState.RETIRED})
#: How many years the plan is rolled on, and back where nothing is on record.
_YEARS_AHEAD = 12
_YEARS_BACK = 2
FAR = date.max.toordinal()


class Segment(NamedTuple):
    """A tub is in a state from `start` on; `id` is the change on record, None if planned."""

    start: int
    state: TubState
    id: int | None


class Season(NamedTuple):
    """A scope lasts from `start` to the day before `end`; `id` as in `Segment`."""

    start: int
    end: int
    id: int | None


@dataclass(frozen=True, slots=True)
class ScopeDays:
    """The days on which one scope lasts (`seasons`) and its tasks are alive (without pauses).

    `starts` and `ends` are the stretches of live days, each end excluded.
    """

    seasons: tuple[Season, ...]
    season_ends: tuple[int, ...]
    starts: tuple[int, ...]
    ends: tuple[int, ...]

    def stretch(self, day: int) -> int:
        """Return the index of the stretch of live days around `day`, -1 for none."""
        at = bisect_right(self.starts, day) - 1
        return at if at >= 0 and day < self.ends[at] else -1

    def alive(self, day: int) -> bool:
        """Return whether tasks are alive on `day`."""
        at = bisect_right(self.starts, day) - 1
        return at >= 0 and day < self.ends[at]

    def alive_from(self, day: int) -> int | None:
        """Return the first live day from `day` on, or None."""
        at = bisect_right(self.starts, day) - 1
        if at >= 0 and day < self.ends[at]:
            return day
        return self.starts[at + 1] if at + 1 < len(self.starts) else None

    def season(self, day: int) -> Season | None:
        """Return the season that `day` lies in, else the next one, else None."""
        at = bisect_right(self.season_ends, day)
        return self.seasons[at] if at < len(self.seasons) else None

    def later(self, day: int, days: int) -> int:
        """Return the day on which `days` live days have passed after `day`.

        Days beyond the last known stretch count as live, so that there is always an answer.
        """
        at = bisect_right(self.starts, day) - 1
        if at < 0 or day >= self.ends[at]:
            # The count stands still until the next stretch, whose first day is the first counted.
            at += 1
            if at >= len(self.starts):
                return day + days
            day = self.starts[at] - 1
        while at + 1 < len(self.starts) and day + days >= self.ends[at]:
            days -= max(0, self.ends[at] - 1 - day)
            at += 1
            day = self.starts[at] - 1
        return day + days


class Timeline(NamedTuple):
    """The segments of one tub and the days of each scope; `recorded` segments come first."""

    segments: tuple[Segment, ...]
    starts: tuple[int, ...]
    recorded: int
    in_season: ScopeDays
    closed_season: ScopeDays

    def states(self, day: int) -> tuple[TubState, ...]:
        """Return the states up to and with `day`, in order."""
        return tuple(each.state for each in self.segments[: bisect_right(self.starts, day)])

    def state(self, day: int) -> TubState:
        """Return the state on `day`; before the first segment, the first one's."""
        return self.segments[max(0, bisect_right(self.starts, day) - 1)].state


def holds_water(states: Iterable[TubState]) -> bool:
    """Return whether a tub with these states, in order, holds water now as far as is known.

    Out of order says nothing of its water: the state before it does.
    """
    known = [state for state in states if state is not TubState.OUT_OF_ORDER]
    return bool(known) and known[-1] in _FULL


def timeline_of(tub: TubFacts, today: date) -> Timeline:
    """Return the timeline of a tub as known on `today`."""
    now = today.toordinal()
    recorded = _recorded(tub)
    segments = [*recorded, *_planned(tub.plan, recorded, now)]
    return Timeline(
        segments=tuple(segments),
        starts=tuple(segment.start for segment in segments),
        recorded=len(recorded),
        in_season=_scope_days(segments, IN_USE, frozenset(TubState) - _OFF),
        closed_season=_scope_days(
            segments, frozenset({TubState.CLOSED}), frozenset({TubState.CLOSED})
        ),
    )


def closing_passed(plan: SeasonPlan | None, line: Timeline, day: int) -> int | None:
    """Return the planned closing that came while a tub was open and still is on `day`, or None."""
    season = line.in_season.season(day)
    if plan is None or season is None or season.id is None or season.start > day:
        return None
    years = date.fromordinal(season.start).year, date.fromordinal(day).year
    come = (at for at in planned_days(plan.closes, *years) if season.start < at <= day)
    return max(come, default=None)


def in_year(day: MonthDay, year: int) -> int:
    """Return the day in `year`; 29 February falls on the 28th in short years."""
    if day.month == 2 and day.day == 29:
        return date(year, 3, 1).toordinal() - 1
    return date(year, day.month, day.day).toordinal()


def planned_days(day: MonthDay, first_year: int, last_year: int) -> list[int]:
    """Return that day of the year in each of the years, as far as dates go."""
    years = range(max(first_year, 1), min(last_year, date.max.year) + 1)
    return [in_year(day, year) for year in years]


def _recorded(tub: TubFacts) -> list[Segment]:
    """Return the recorded states; of several on one day the last counts, repeats are dropped."""
    found: list[Segment] = []
    for change in tub.states:
        start = change.on.toordinal()
        while found and found[-1].start >= start:
            found.pop()
        if not found or found[-1].state is not change.state:
            found.append(Segment(start, change.state, change.id))
    return found


def _planned(plan: SeasonPlan | None, recorded: list[Segment], now: int) -> list[Segment]:
    if not recorded:
        return _plan_alone(plan, now)
    last = recorded[-1]
    if last.state is TubState.RETIRED:
        return []
    since = max(now, last.start)
    found = []
    if last.state not in IN_USE and last.state is not TubState.CLOSED:
        found.append(Segment(since + 1, TubState.OPEN, None))
    if plan is None:
        return found
    year = date.fromordinal(since).year
    opens = planned_days(plan.opens, year - 1, year + _YEARS_AHEAD)
    closes = planned_days(plan.closes, year - 1, year + _YEARS_AHEAD)
    closed = last.state is TubState.CLOSED
    if closed and _overdue_to_open(opens, closes, closed_on=last.start, day=since):
        found.append(Segment(since + 1, TubState.OPEN, None))
        since, closed = since + 1, False
    while True:
        turn = next((day for day in (opens if closed else closes) if day > since), None)
        if turn is None:
            return found
        found.append(Segment(turn, TubState.OPEN if closed else TubState.CLOSED, None))
        since, closed = turn, not closed


def _plan_alone(plan: SeasonPlan | None, now: int) -> list[Segment]:
    if plan is None:
        return [Segment(1, TubState.OPEN, None)]
    year = date.fromordinal(now).year
    years = year - _YEARS_BACK, year + _YEARS_AHEAD
    turns = [(day, TubState.OPEN) for day in planned_days(plan.opens, *years)]
    turns += [(day, TubState.CLOSED) for day in planned_days(plan.closes, *years)]
    return [Segment(day, state, None) for day, state in sorted(turns)]


def _overdue_to_open(opens: list[int], closes: list[int], *, closed_on: int, day: int) -> bool:
    """Return whether a planned season has begun for a tub that was closed before it.

    A tub that was closed within the season, a day early say, has had it.
    """
    last_opening = max((at for at in opens if at <= day), default=0)
    last_closing = max((at for at in closes if at <= day), default=0)
    return last_opening > last_closing and closed_on < last_opening


def _scope_days(
    segments: list[Segment], live: frozenset[TubState], lasting: frozenset[TubState]
) -> ScopeDays:
    stretches = _stretches(segments, live)
    seasons = tuple(Season(*stretch) for stretch in _stretches(segments, lasting))
    return ScopeDays(
        seasons=seasons,
        season_ends=tuple(season.end for season in seasons),
        starts=tuple(start for start, _end, _id in stretches),
        ends=tuple(end for _start, end, _id in stretches),
    )


def _stretches(
    segments: Iterable[Segment], states: frozenset[TubState]
) -> list[tuple[int, int, int | None]]:
    """Return the stretches of days in `states`: start, end (excluded), id of the first change."""
    found: list[tuple[int, int, int | None]] = []
    inside: Segment | None = None
    for segment in segments:
        if segment.state in states:
            inside = inside or segment
        elif inside is not None:
            found.append((inside.start, segment.start, inside.id))
            inside = None
    if inside is not None:
        found.append((inside.start, FAR, inside.id))
    return found
