"""How fast a tub uses up its sanitiser, fitted from its own readings and doses."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.water.limits import check
from tubcare.water.loss_line import PUBLISHED_E_OVER_R_K, RatePoint, arrhenius, fit_line
from tubcare.water.loss_pairs import WATER_C

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from tubcare.water.loss_pairs import Interval

_DIPS_PER_DAY = (0.0, 10_000.0)
# Readings below detection shift the line they are held against: settled after a few rounds.
_REFITS = 3
_UNKNOWN_SPREAD = 2.0


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
        check("water_c", water_c, *WATER_C)
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


def fit_loss(pairs: Sequence[Interval], *, water_c: float, dips_per_day: float) -> LossRate | None:
    """Return the loss at a temperature and use, or None when no pair tells of a loss.

    Every pair is carried to `water_c` first. Use and temperature count where the log tells them
    (`loss_line.fit_line`). A pair that ended below detection stands at its least rate wherever
    that is more than the others expect. The range is that of one more pair at 90 %. Refit as the
    log grows: decay is not one constant.

    Parameters
    ----------
    water_c
        [°C], 0..35
    dips_per_day
        [1/d], 0..10000

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    First-order decay; Hua et al. 1999, Water Res. 33:2735 on why the rate moves.
    """
    check("water_c", water_c, *WATER_C)
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


def level_after(loss: LossRate, mg_l: float, days: float) -> tuple[float, float, float]:
    """Return the level after so many days: expected, low, high. [mg/L].

    Parameters
    ----------
    mg_l
        To begin with. [mg/L], 0..500
    days
        [d], 0..400

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.
    """
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

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.
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
