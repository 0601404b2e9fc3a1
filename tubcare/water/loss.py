"""How fast a tub uses up its sanitiser, fitted from its own readings and doses."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from datetime import timedelta
from statistics import fmean
from typing import TYPE_CHECKING

from tubcare.water.limits import check
from tubcare.water.loss_line import PUBLISHED_E_OVER_R_K, RatePoint, arrhenius, fit_line

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

_DAY_S = 86_400.0
# Below this a strip or DPD test tells nothing from nothing (common practice).
DETECTION_MG_L = 0.05
_LEVEL_MG_L = (0.0, 1e9)
_WATER_C = (-5.0, 60.0)
_DIPS_PER_DAY = (0.0, 10_000.0)
_HIGHEST_RATE = 50.0
# Two tests of which each misses by a tenth rise by so much where nothing was lost. Own choice.
_MISSED = 1.25
_SHORTEST_D = 0.1
_REFERENCE_C = 6.0
# Readings below detection shift the line they are held against: settled after a few rounds.
_REFITS = 3
_UNKNOWN_SPREAD = 2.0


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
            check("water_c", self.water_c, *_WATER_C)


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


@dataclass(frozen=True, slots=True, kw_only=True)
class LossRate:
    """First-order loss of a tub.

    Attributes
    ----------
    rate_per_day
        At `water_c` and `dips_per_day`; with its range for a single coming interval. [1/d]
    per_dip
        What one dip a day adds to the rate; None when the data do not tell. [1/d]
    pairs, censored
        Pairs of readings used, and how many pairs only said "at least".
    e_over_r_k, temperature_fitted
        How the rate moves with temperature [K], and whether the log itself told so.
    """

    rate_per_day: float
    low_per_day: float
    high_per_day: float
    per_dip: float | None
    water_c: float
    dips_per_day: float
    pairs: int
    censored: int
    e_over_r_k: float = PUBLISHED_E_OVER_R_K
    temperature_fitted: bool = False

    def at(self, *, water_c: float, dips_per_day: float) -> LossRate:
        """Return the loss carried to another temperature and use.

        References
        ----------
        Arrhenius with the E/R of the fit, else 8500 K (published 7000-10000 K, from memory).
        """
        check("water_c", water_c, *_WATER_C)
        check("dips_per_day", dips_per_day, *_DIPS_PER_DAY)
        factor = arrhenius(self.e_over_r_k, self.water_c, water_c)
        extra = (self.per_dip or 0.0) * (dips_per_day - self.dips_per_day)
        return LossRate(
            rate_per_day=max(0.0, self.rate_per_day + extra) * factor,
            low_per_day=max(0.0, self.low_per_day + extra) * factor,
            high_per_day=max(0.0, self.high_per_day + extra) * factor,
            per_dip=None if self.per_dip is None else self.per_dip * factor,
            water_c=water_c,
            dips_per_day=dips_per_day,
            pairs=self.pairs,
            censored=self.censored,
            e_over_r_k=self.e_over_r_k,
            temperature_fitted=self.temperature_fitted,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class DueTimes:
    """When the level reaches a floor: expected, earliest, latest (None: not within a year)."""

    expected: datetime | None
    earliest: datetime | None
    latest: datetime | None


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

    `water_c` is the temperature where neither reading of a pair noted one. [°C]
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


def fit_loss(pairs: Sequence[Interval], *, water_c: float, dips_per_day: float) -> LossRate | None:
    """Return the loss at a temperature and use, or None when no pair tells of a loss.

    Every pair is carried to `water_c` first. Use and temperature count where the log tells them
    (`loss_line.fit_line`). A pair that ended below detection stands at its least rate wherever
    that is more than the others expect. The range is that of one more pair at 90 %. Refit as the
    log grows: decay is not one constant.

    References
    ----------
    First-order decay; Hua et al. 1999, Water Res. 33:2735 on why the rate moves.
    """
    check("water_c", water_c, *_WATER_C)
    check("dips_per_day", dips_per_day, *_DIPS_PER_DAY)
    known = [
        RatePoint(rate=pair.rate_per_day, use=pair.dips_per_day, water_c=pair.water_c)
        for pair in pairs
        if pair.rate_per_day is not None
    ]
    least = [
        RatePoint(rate=pair.at_least, use=pair.dips_per_day, water_c=pair.water_c)
        for pair in pairs
        if pair.rate_per_day is None
    ]
    used = known or least
    if not used:
        return None
    line = fit_line(used, water_c=water_c, use=dips_per_day)
    for _ in range(_REFITS if known and least else 0):
        more = [p for p in least if p.rate > line.at(use=p.use, water_c=p.water_c)]
        line = fit_line([*known, *more], water_c=water_c, use=dips_per_day)
        used = [*known, *more]
    if line.high <= 0.0:
        return None
    floor = [point.rate * arrhenius(line.e_over_r_k, point.water_c, water_c) for point in least]
    high = max([line.high, *floor])
    return LossRate(
        rate_per_day=line.middle,
        low_per_day=line.low if known else min(floor),
        # Nothing but "at least": how much faster nobody knows.
        high_per_day=high if known else _UNKNOWN_SPREAD * high,
        per_dip=line.slope,
        water_c=water_c,
        dips_per_day=dips_per_day,
        pairs=len(used),
        censored=len(least),
        e_over_r_k=line.e_over_r_k,
        temperature_fitted=line.temperature_fitted,
    )


def _between(earlier: SanitiserReading, later: SanitiserReading, otherwise: float) -> float:
    """Return the temperature over a pair: the mean of what was noted [°C]."""
    noted = [each.water_c for each in (earlier, later) if each.water_c is not None]
    return fmean(noted) if noted else otherwise


def level_after(loss: LossRate, mg_l: float, days: float) -> tuple[float, float, float]:
    """Return the level after so many days: expected, low, high. [mg/L], 0..500; [d], 0..400."""
    check("mg_l", mg_l, 0.0, 500.0)
    check("days", days, 0.0, 400.0)
    return (
        mg_l * math.exp(-loss.rate_per_day * days),
        mg_l * math.exp(-loss.high_per_day * days),
        mg_l * math.exp(-loss.low_per_day * days),
    )


def due_at_floor(loss: LossRate, *, mg_l: float, now: datetime, floor_mg_l: float) -> DueTimes:
    """Return when a level that stands at `mg_l` now reaches the floor; test by the earliest.

    Parameters
    ----------
    mg_l, floor_mg_l
        [mg/L], 0..500, the floor from 1e-6; at or below it everything is due now.
    """
    check("floor_mg_l", floor_mg_l, 1e-6, 500.0)
    check("mg_l", mg_l, 0.0, 500.0)
    if mg_l <= floor_mg_l:
        return DueTimes(expected=now, earliest=now, latest=now)
    span = math.log(mg_l / floor_mg_l)

    def moment(rate: float) -> datetime | None:
        return now + timedelta(days=span / rate) if rate * 365.0 >= span else None

    return DueTimes(
        expected=moment(loss.rate_per_day),
        earliest=moment(loss.high_per_day),
        latest=moment(loss.low_per_day),
    )


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
