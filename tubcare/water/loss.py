"""How fast a tub uses up its sanitiser, fitted from its own readings and doses."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from datetime import timedelta
from statistics import fmean, stdev
from typing import TYPE_CHECKING

from tubcare.water.limits import check

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

_DAY_S = 86_400.0
# Below this a strip or DPD test tells nothing from nothing (common practice).
DETECTION_MG_L = 0.05
_HIGHEST_RATE = 50.0
_SHORTEST_D = 0.1
# Arrhenius E/R of bulk chlorine decay 7000-10000 K (from memory): middle of the range.
_DECAY_E_OVER_R_K = 8500.0
_REFERENCE_C = 6.0
_FEWEST_FOR_USE = 6
# Two-sided 90 % points of Student's t for 1, 2, ... degrees of freedom (standard table).
_T90 = (6.31, 2.92, 2.35, 2.13, 2.02, 1.94, 1.89, 1.86, 1.83, 1.81)
_T90_MANY = 1.68
# With one pair nobody knows the spread: a factor of two either way (own choice).
_SINGLE_SPREAD = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SanitiserReading:
    """A measured sanitiser level [mg/L] at an instant."""

    at: datetime
    mg_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SanitiserDose:
    """A dose as the rise it makes [mg/L] at an instant."""

    at: datetime
    mg_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """One pair of readings: the rate between them.

    `rate_per_day` is None where the later reading was below detection: then only `at_least` is
    known. [1/d]
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
        Pairs of readings used, and pairs that only said "at least".
    """

    rate_per_day: float
    low_per_day: float
    high_per_day: float
    per_dip: float | None
    water_c: float
    dips_per_day: float
    pairs: int
    censored: int

    def at(self, *, water_c: float, dips_per_day: float) -> LossRate:
        """Return the loss carried to another temperature and use.

        References
        ----------
        Arrhenius with E/R 8500 K (published range 7000-10000 K, from memory).
        """
        factor = _arrhenius(self.water_c, water_c)
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
    beyond what was dosed (an unlogged dose), are too close in time, or the later one is below
    detection.
    """
    days = _days(earlier.at, later.at)
    if days < _SHORTEST_D or later.mg_l < DETECTION_MG_L:
        return None
    return _solve_rate(earlier, later, doses, later.mg_l)


def intervals(
    readings: Sequence[SanitiserReading],
    doses: Sequence[SanitiserDose],
    *,
    dips: Sequence[datetime] = (),
    water_c: float = _REFERENCE_C,
) -> tuple[Interval, ...]:
    """Return the rate between each pair of consecutive readings, pairs that tell nothing left out.

    `water_c` is the temperature over the log, where no better is known. [°C]
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
            bound = _solve_rate(earlier, later, within, DETECTION_MG_L)
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
                water_c=water_c,
            )
        )
    return tuple(found)


def fit_loss(pairs: Sequence[Interval], *, water_c: float, dips_per_day: float) -> LossRate | None:
    """Return the loss at a temperature and use, or None when no pair tells a rate.

    Every pair is carried to `water_c` first. With six pairs or more of differing use, a straight
    line through rate against dips per day is fitted; else the mean. The range is that of one more
    pair at 90 %. Refit as the log grows: decay is not one constant.

    References
    ----------
    First-order decay; Hua et al. 1999, Water Res. 33:2735 on why the rate moves. Least squares and
    Student's t: standard.
    """
    known = [pair for pair in pairs if pair.rate_per_day is not None]
    if not known:
        return None
    rates = [(p.rate_per_day or 0.0) * _arrhenius(p.water_c, water_c) for p in known]
    uses = [p.dips_per_day for p in known]
    slope = _slope(uses, rates)
    mean_use = fmean(uses)
    middle = fmean(rates) + (slope or 0.0) * (dips_per_day - mean_use)
    residuals = [
        rate - fmean(rates) - (slope or 0.0) * (use - mean_use)
        for rate, use in zip(rates, uses, strict=True)
    ]
    low, high = _band(max(0.0, middle), residuals, parameters=1 if slope is None else 2)
    censored = [p.at_least * _arrhenius(p.water_c, water_c) for p in pairs if not p.rate_per_day]
    return LossRate(
        rate_per_day=max(0.0, middle),
        low_per_day=low,
        high_per_day=max([high, *censored]),
        per_dip=slope,
        water_c=water_c,
        dips_per_day=dips_per_day,
        pairs=len(known),
        censored=len(pairs) - len(known),
    )


def level_after(loss: LossRate, mg_l: float, days: float) -> tuple[float, float, float]:
    """Return the level [mg/L] after so many days: expected, low, high."""
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
        [mg/L]; at or below the floor everything is due now.
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
) -> float | None:
    """Return the rate at which what was there and what was dosed fall to `level`, by bisection."""
    days = _days(earlier.at, later.at)
    parts = [(earlier.mg_l, days)]
    parts += [
        (dose.mg_l, _days(dose.at, later.at)) for dose in doses if earlier.at <= dose.at < later.at
    ]

    def left(rate: float) -> float:
        return sum(amount * math.exp(-rate * age) for amount, age in parts)

    if left(0.0) < level or left(_HIGHEST_RATE) > level:
        return None
    low, high = 0.0, _HIGHEST_RATE
    for _ in range(60):
        middle = 0.5 * (low + high)
        if left(middle) > level:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _slope(uses: list[float], rates: list[float]) -> float | None:
    """Return the slope of rate on use where the data can tell one that makes sense."""
    if len(rates) < _FEWEST_FOR_USE:
        return None
    mean_use, mean_rate = fmean(uses), fmean(rates)
    spread = sum((use - mean_use) ** 2 for use in uses)
    if spread <= 1e-9:
        return None
    joint = sum((u - mean_use) * (r - mean_rate) for u, r in zip(uses, rates, strict=True))
    slope = joint / spread
    # Bathers never slow the loss: a negative slope is noise.
    return slope if slope > 0.0 else None


def _band(middle: float, residuals: list[float], *, parameters: int) -> tuple[float, float]:
    """Return the 90 % range of one more pair."""
    freedom = len(residuals) - parameters
    if freedom < 1:
        return middle / _SINGLE_SPREAD, middle * _SINGLE_SPREAD
    spread = stdev(residuals) * math.sqrt((len(residuals) - 1) / freedom)
    t90 = _T90[freedom - 1] if freedom <= len(_T90) else _T90_MANY
    reach = t90 * spread * math.sqrt(1.0 + 1.0 / len(residuals))
    return max(0.0, middle - reach), middle + reach


def _arrhenius(from_c: float, to_c: float) -> float:
    """Return the factor by which decay changes between two temperatures."""
    return math.exp(-_DECAY_E_OVER_R_K * (1.0 / (to_c + 273.15) - 1.0 / (from_c + 273.15)))


def _days(start: datetime, end: datetime) -> float:
    """Return the days between two instants."""
    return (end - start).total_seconds() / _DAY_S
