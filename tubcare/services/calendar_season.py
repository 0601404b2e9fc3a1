"""How the tubs stand on each day of a span: open or not, on record or planned."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.care.model import Edge
from tubcare.care.timeline import IN_USE, closing_passed, holds_water, timeline_of
from tubcare.services.frost_notes import frost_days

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from tubcare.care.model import TubState
    from tubcare.care.timeline import Timeline
    from tubcare.services.facts import TubRecord
    from tubcare.values import TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class TubDay:
    """The state of one tub on one day; `planned` unless that is on record."""

    tub: TubId
    tub_name: str
    state: TubState
    is_open: bool
    planned: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonTurn:
    """A tub enters a state on this day; `planned` unless that is on record.

    With `frost` it is a frost date instead, and `state` the one that the tub is in.
    """

    tub: TubId
    tub_name: str
    on: date
    state: TubState
    planned: bool
    frost: Edge | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonNow:
    """How a tub stands today, since when as far as that is on record, and the next turn.

    `was_to_close` is the planned closing that has come while the tub stayed open.
    """

    tub_name: str
    state: TubState
    since: date | None
    next_turn: SeasonTurn | None
    was_to_close: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Seasons:
    """The tubs on every day of a span, the turns in it, and how they stand today."""

    days: Mapping[date, tuple[TubDay, ...]]
    turns: Mapping[date, tuple[SeasonTurn, ...]]
    now: tuple[SeasonNow, ...]


def seasons(
    tubs: Iterable[TubRecord], today_in: Callable[[str], date], first: date, last: date
) -> Seasons:
    """Return how the tubs stand on every day from `first` to `last`.

    A day counts as on record up to today, where a change of state is on record at or before it.
    Days before the first change on record are left out: nobody knows.
    """
    days: dict[date, list[TubDay]] = defaultdict(list)
    turns: dict[date, list[SeasonTurn]] = defaultdict(list)
    now = []
    for tub in tubs:
        today = today_in(tub.zone)
        line = timeline_of(tub.facts, today)
        for on in (first + timedelta(days=n) for n in range((last - first).days + 1)):
            found = _day(tub, line, on, today)
            if found is not None:
                days[on].append(found)
        for mark in _frost(tub, line, first, last):
            turns[mark.on].append(mark)
        every = _turns(tub, line)
        for turn in every:
            if first <= turn.on <= last:
                turns[turn.on].append(turn)
        now.append(_now(tub, line, today, every))
    span = (first + timedelta(days=n) for n in range((last - first).days + 1))
    return Seasons(
        days={on: tuple(days.get(on, ())) for on in span},
        turns={on: tuple(found) for on, found in turns.items()},
        now=tuple(now),
    )


def _day(tub: TubRecord, line: Timeline, on: date, today: date) -> TubDay | None:
    day = on.toordinal()
    if line.recorded and day < line.starts[0]:
        return None
    state = line.state(day)
    return TubDay(
        tub=tub.id,
        tub_name=tub.name,
        state=state,
        is_open=state in IN_USE,
        planned=on > today or not line.recorded,
    )


def _turns(tub: TubRecord, line: Timeline) -> list[SeasonTurn]:
    # Without any record a tub that is open all year has no turn: its one segment has no start.
    return [
        SeasonTurn(
            tub=tub.id,
            tub_name=tub.name,
            on=date.fromordinal(segment.start),
            state=segment.state,
            planned=segment.id is None,
        )
        for segment in line.segments
        if segment.start > 1
    ]


def _frost(tub: TubRecord, line: Timeline, first: date, last: date) -> list[SeasonTurn]:
    """Return the frost dates on which the tub holds water as far as that is known."""
    return [
        SeasonTurn(
            tub=tub.id,
            tub_name=tub.name,
            on=on,
            state=line.state(on.toordinal()),
            planned=True,
            frost=edge,
        )
        for edge in (Edge.FROST_WATCH, Edge.FROST_DRY)
        for on in frost_days(tub, edge, first, last)
        if holds_water(line.states(on.toordinal()))
    ]


def _now(tub: TubRecord, line: Timeline, today: date, turns: list[SeasonTurn]) -> SeasonNow:
    passed = closing_passed(tub.facts.plan, line, today.toordinal())
    past = [turn for turn in turns if turn.on <= today and not turn.planned]
    return SeasonNow(
        tub_name=tub.name,
        state=line.state(today.toordinal()),
        since=past[-1].on if past else None,
        next_turn=next((turn for turn in turns if turn.on > today), None),
        was_to_close=None if passed is None else date.fromordinal(passed),
    )
