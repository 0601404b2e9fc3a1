"""How far apart the rows of a weather file are, and where some are missing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import pairwise

from tubcare.errors import InputError

_HOUR = timedelta(hours=1)
_LONGEST_YEAR = timedelta(days=366)


class Resolution(StrEnum):
    """How far apart the rows are."""

    HOURLY = "hourly"
    DAILY = "daily"


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeGap:
    """Rows that are missing or without their temperature: the first one's time and how many."""

    first: datetime
    count: int


def resolution_of(starts: tuple[datetime, ...]) -> Resolution:
    """Return how far apart most rows are.

    Parameters
    ----------
    starts
        When each row begins, in order.

    Raises
    ------
    InputError
        If most are neither an hour nor a day apart.

    References
    ----------
    Own definition: what holds for half of the steps.
    """
    steps = [b - a for a, b in pairwise(starts)]
    hourly = sum(step == _HOUR for step in steps)
    if not steps or hourly * 2 < len(steps):
        daily = sum(step == 24 * _HOUR for step in steps)
        if steps and daily * 2 < len(steps):
            raise InputError("weather", "rows are neither an hour nor a day apart")
        return Resolution.DAILY
    return Resolution.HOURLY


def gaps_between(
    starts: tuple[datetime, ...], resolution: Resolution
) -> tuple[tuple[TimeGap, ...], int]:
    """Return where rows are missing, and how many stand twice. [-].

    Raises nothing; the other year of a row of a typical year is no gap.

    Parameters
    ----------
    starts
        When each row begins, in order.
    resolution
        How far apart they should be.

    References
    ----------
    Own definition.
    """
    step = _HOUR if resolution is Resolution.HOURLY else 24 * _HOUR
    found, repeated = [], 0
    for before, after in pairwise(starts):
        if after == before:
            repeated += 1
        elif after > before + step and not _only_year_changes(before + step, after):
            count = round((after - before) / step) - 1
            found.append(TimeGap(first=before + step, count=count))
    return tuple(found), repeated


def _only_year_changes(expected: datetime, found: datetime) -> bool:
    """Say whether a typical year goes on in another of the years it is put together from."""
    return (expected.month, expected.day, expected.hour) == (found.month, found.day, found.hour)


def looks_typical(starts: tuple[datetime, ...]) -> bool:
    """Say whether rows are one year long, but put together from several years.

    Raises nothing.

    Parameters
    ----------
    starts
        When each row begins.

    References
    ----------
    Own definition, after typical meteorological years, whose months come from different years.
    """
    days = len({(start.month, start.day) for start in starts})
    one_long = len(starts) in {365, 366, 8760, 8784} and days >= 365
    return one_long and max(starts) - min(starts) > _LONGEST_YEAR
