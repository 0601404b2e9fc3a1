"""The frost dates that a week or a month has to name, from what is kept about each tub."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.care.model import Edge
from tubcare.care.timeline import holds_water, planned_days

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tubcare.services.facts import TubRecord
    from tubcare.values import MonthDay, TubId

_AHEAD = timedelta(days=28)
# Longer after its day a tub that holds water is kept open through the winter on purpose.
_BEHIND = timedelta(days=60)


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostNote:
    """A frost date of a tub that holds water: to come, or passed."""

    tub: TubId
    tub_name: str
    edge: Edge
    on: date
    passed: bool


def frost_note(tub: TubRecord, today: date) -> FrostNote | None:
    """Return the frost date that matters most for a tub today, None for a tub without water.

    "Dry by" from four weeks ahead on and until it is done; before that the watch, once it began.
    """
    if not holds_water(each.state for each in tub.facts.states):
        return None
    dry = _nearest(_chosen(tub, Edge.FROST_DRY), today)
    if dry is not None and -_BEHIND <= dry - today <= _AHEAD:
        return FrostNote(
            tub=tub.id, tub_name=tub.name, edge=Edge.FROST_DRY, on=dry, passed=dry <= today
        )
    watch = _nearest(_chosen(tub, Edge.FROST_WATCH), today)
    begun = watch is not None and watch <= today and (dry is None or today < dry)
    if watch is not None and begun:
        return FrostNote(
            tub=tub.id, tub_name=tub.name, edge=Edge.FROST_WATCH, on=watch, passed=True
        )
    return None


def frost_notes(tubs: Iterable[TubRecord], todays: Iterable[date]) -> tuple[FrostNote, ...]:
    """Return the note of each tub that has one, each on its own date of today."""
    found = (frost_note(tub, today) for tub, today in zip(tubs, todays, strict=True))
    return tuple(note for note in found if note is not None)


def frost_days(tub: TubRecord, edge: Edge, first: date, last: date) -> tuple[date, ...]:
    """Return the days of a frost date between two dates, none for a tub without one."""
    day = _chosen(tub, edge)
    if day is None:
        return ()
    days = (date.fromordinal(each) for each in planned_days(day, first.year, last.year))
    return tuple(each for each in days if first <= each <= last)


def _chosen(tub: TubRecord, edge: Edge) -> MonthDay | None:
    """Return the date at the chosen risk, which stands first."""
    days = (each.dry_by if edge is Edge.FROST_DRY else each.watch_from for each in tub.facts.frost)
    return next((day for day in days if day is not None), None)


def _nearest(day: MonthDay | None, today: date) -> date | None:
    if day is None:
        return None
    days = [date.fromordinal(n) for n in planned_days(day, today.year - 1, today.year + 1)]
    return min(days, key=lambda each: abs(each - today))
