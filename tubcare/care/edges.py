"""The turns of the year that season triggers hang on: openings, closings, frost dates."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from tubcare.care.terms import Edge, TubState
from tubcare.care.timeline import FAR, in_year, planned_days

if TYPE_CHECKING:
    from tubcare.care.facts import SeasonPlan, TubFacts
    from tubcare.care.timeline import Segment, Timeline
    from tubcare.values import MonthDay

_YEARS_AHEAD = 12
_OFF = frozenset({TubState.CLOSED, TubState.RETIRED})


class EdgeDay(NamedTuple):
    """An edge on a day (ordinal); `year` is the year of the planned edge nearest to it."""

    day: int
    year: int
    planned: bool


class Edges(NamedTuple):
    """The days of one edge in order, their ordinals alone, and the risk they were chosen with."""

    days: tuple[EdgeDay, ...]
    ordinals: tuple[int, ...]
    risk_percent: int | None


def season_edges(edge: Edge, tub: TubFacts, timeline: Timeline, today: int) -> list[EdgeDay]:
    """Return the openings or closings on record and those planned after them, in order.

    A planned edge stays where it was planned until the real one is on record: an opening once the
    tub was closed, a closing once it was opened.
    """
    recorded = timeline.segments[: timeline.recorded]
    found = [
        EdgeDay(day, _season_year(edge, tub.plan, day), planned=False)
        for day in _recorded_edges(edge, recorded)
    ]
    if tub.plan is not None:
        since = _plan_counts_from(edge, tub.plan, recorded, today)
        first = date.fromordinal(max(1, min(since, today) - 366)).year
        last = date.fromordinal(today).year + _YEARS_AHEAD
        found += [
            EdgeDay(day, date.fromordinal(day).year, planned=True)
            for day in planned_days(_turn(edge, tub.plan), first, last)
            if day > since
        ]
    return found


def edges_of(
    tub: TubFacts, timeline: Timeline, today: int
) -> dict[tuple[Edge, int | None], Edges]:
    """Return the edge days of a tub by edge and the risk asked for."""
    found: dict[tuple[Edge, int | None], Edges] = {}
    for edge in (Edge.OPENING, Edge.CLOSING):
        found[edge, None] = _edges(season_edges(edge, tub, timeline, today), None)
    for frost in tub.frost:
        risk = frost.risk_percent
        for edge, day in ((Edge.FROST_WATCH, frost.watch_from), (Edge.FROST_DRY, frost.dry_by)):
            if day is None:
                continue
            edges = _edges(_frost_edges(day, today), risk)
            found.setdefault((edge, risk), edges)
            found.setdefault((edge, None), edges)
    return found


def _edges(days: list[EdgeDay], risk: int | None) -> Edges:
    return Edges(tuple(days), tuple(edge.day for edge in days), risk)


def _frost_edges(day: MonthDay, today: int) -> list[EdgeDay]:
    """Return the frost date of each year around `today`, in order."""
    year = date.fromordinal(today).year
    days = planned_days(day, year - 2, year + _YEARS_AHEAD)
    return [EdgeDay(at, date.fromordinal(at).year, planned=True) for at in days]


def _recorded_edges(edge: Edge, recorded: tuple[Segment, ...]) -> list[int]:
    found = []
    # A tub that begins its record closed was not closed that day; one that begins open was opened.
    was_off = True
    for segment in recorded:
        is_off = segment.state in _OFF
        if is_off != was_off and is_off == (edge is Edge.CLOSING):
            found.append(segment.start)
        was_off = is_off
    return found


def _plan_counts_from(
    edge: Edge, plan: SeasonPlan, recorded: tuple[Segment, ...], today: int
) -> int:
    """Return the day after which planned edges count, given what is on record."""
    if not recorded:
        return today - 2 * 366
    if recorded[-1].state is TubState.RETIRED:
        return FAR
    is_off = recorded[-1].state in _OFF
    since = recorded[-1].start
    for segment in reversed(recorded):
        if (segment.state in _OFF) != is_off:
            break
        since = segment.start
    if is_off == (edge is Edge.OPENING):
        return since
    if is_off:
        # It has to be opened first, and a closing that passes while it is closed asks for nothing.
        year = date.fromordinal(since).year
        opening = next(day for day in planned_days(plan.opens, year, year + 2) if day > since)
        return max(opening, today)
    # The season that it is in has had its opening. The next one counts as long as it is ahead,
    # also past the planned closing: somebody will close the tub before.
    return max(in_year(plan.opens, _season_year(Edge.OPENING, plan, since)), today)


def _turn(edge: Edge, plan: SeasonPlan) -> MonthDay:
    return plan.opens if edge is Edge.OPENING else plan.closes


def _season_year(edge: Edge, plan: SeasonPlan | None, day: int) -> int:
    """Return the year of the planned edge that a turn on `day` stands for.

    It is the one before, and from the middle of the stretch that waits for the next one, that one:
    a tub opened soon after its planned closing was opened late, one opened before spring early.
    """
    year = date.fromordinal(day).year
    if plan is None:
        return year
    other = Edge.CLOSING if edge is Edge.OPENING else Edge.OPENING
    coming = next((at for at in planned_days(_turn(edge, plan), year, year + 1) if at > day), FAR)
    waits_from = max(
        at for at in planned_days(_turn(other, plan), year - 1, year + 1) if at < coming
    )
    after = date.fromordinal(coming).year
    return after if day > (waits_from + coming) // 2 else after - 1
