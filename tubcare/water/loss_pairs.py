"""Pairs of readings: how fast the sanitiser was lost between them, doses counted."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from statistics import fmean
from typing import TYPE_CHECKING

from tubcare.water.limits import check

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

_DAY_S = 86_400.0
# Below this a strip or DPD test tells nothing from nothing (common practice).
DETECTION_MG_L = 0.05
_LEVEL_MG_L = (0.0, 1e9)
WATER_C = (-5.0, 60.0)
_HIGHEST_RATE = 50.0
# Two tests of which each misses by a tenth rise by so much where nothing was lost. Own choice.
_MISSED = 1.25
_SHORTEST_D = 0.1
_REFERENCE_C = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SanitiserReading:
    """A measured sanitiser level [mg/L], 0..1e9, at an instant.

    With the water's temperature if it was noted. [°C], -5..60
    """

    at: datetime
    mg_l: float
    water_c: float | None = None

    def __post_init__(self) -> None:
        """Refuse what no test reads."""
        check("mg_l", self.mg_l, *_LEVEL_MG_L)
        if self.water_c is not None:
            check("water_c", self.water_c, *WATER_C)


@dataclass(frozen=True, slots=True, kw_only=True)
class SanitiserDose:
    """A dose as the rise it makes [mg/L], 0..1e9, at an instant."""

    at: datetime
    mg_l: float

    def __post_init__(self) -> None:
        """Refuse what is no dose."""
        check("mg_l", self.mg_l, *_LEVEL_MG_L)


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """One pair of readings: the rate between them.

    `rate_per_day` is None where the later reading was below detection: then only `at_least` is
    known; below zero where the tests' own error hid a small loss. [1/d]
    """

    start: datetime
    days: float
    rate_per_day: float | None
    at_least: float
    dips_per_day: float
    water_c: float


def interval_rate(
    earlier: SanitiserReading, later: SanitiserReading, doses: Sequence[SanitiserDose]
) -> float | None:
    """Return the first-order rate [1/d] between two readings, doses between them counted.

    Solves C2 = C1 exp(-k d) + sum of dose exp(-k (time since it)). None when the readings rose
    further beyond what was dosed than two tests may miss (an unlogged dose), are too close in
    time, or the later one is below detection. A smaller rise is a rate below zero: left out, the
    falls that are too large would stand alone, and a slow loss would look fast.
    """
    days = _days(earlier.at, later.at)
    if days < _SHORTEST_D or later.mg_l < DETECTION_MG_L:
        return None
    return _solve_rate(earlier, later, doses, later.mg_l, slowest=-math.log(_MISSED) / days)


def intervals(
    readings: Sequence[SanitiserReading],
    doses: Sequence[SanitiserDose],
    *,
    dips: Sequence[datetime] = (),
    water_c: float = _REFERENCE_C,
) -> tuple[Interval, ...]:
    """Return the rate between each pair of consecutive readings, pairs that tell nothing left out.

    Parameters
    ----------
    water_c
        The temperature where neither reading of a pair noted one. [°C], any
    """
    ordered = sorted(readings, key=lambda reading: reading.at)
    found = []
    for earlier, later in itertools.pairwise(ordered):
        days = _days(earlier.at, later.at)
        if days < _SHORTEST_D:
            continue
        within = [dose for dose in doses if earlier.at <= dose.at < later.at]
        visits = sum(1 for dip in dips if earlier.at <= dip < later.at)
        rate = interval_rate(earlier, later, within)
        least = 0.0
        if rate is None:
            if later.mg_l >= DETECTION_MG_L:
                continue
            bound = _solve_rate(earlier, later, within, DETECTION_MG_L, slowest=0.0)
            if bound is None:
                continue
            least = bound
        found.append(
            Interval(
                start=earlier.at,
                days=days,
                rate_per_day=rate,
                at_least=least,
                dips_per_day=visits / days,
                water_c=_between(earlier, later, water_c),
            )
        )
    return tuple(found)


def _between(earlier: SanitiserReading, later: SanitiserReading, otherwise: float) -> float:
    """Return the temperature over a pair: the mean of what was noted [°C]."""
    noted = [each.water_c for each in (earlier, later) if each.water_c is not None]
    return fmean(noted) if noted else otherwise


def _solve_rate(
    earlier: SanitiserReading,
    later: SanitiserReading,
    doses: Sequence[SanitiserDose],
    level: float,
    *,
    slowest: float,
) -> float | None:
    """Return the rate at which what was there and what was dosed fall to `level`, by bisection."""
    days = _days(earlier.at, later.at)
    parts = [(earlier.mg_l, days)]
    parts += [
        (dose.mg_l, _days(dose.at, later.at)) for dose in doses if earlier.at <= dose.at < later.at
    ]

    def left(rate: float) -> float:
        return sum(amount * math.exp(-rate * age) for amount, age in parts)

    if left(slowest) < level or left(_HIGHEST_RATE) > level:
        return None
    low, high = slowest, _HIGHEST_RATE
    for _ in range(60):
        middle = 0.5 * (low + high)
        if left(middle) > level:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _days(start: datetime, end: datetime) -> float:
    """Return the days between two instants."""
    return (end - start).total_seconds() / _DAY_S
