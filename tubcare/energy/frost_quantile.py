"""Quantiles of frost dates, and how far they may be off."""

from __future__ import annotations

import math
from statistics import NormalDist, fmean, stdev
from typing import TYPE_CHECKING

from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

# A range covers nine cases in ten.
_RANGE = NormalDist().inv_cdf(0.95)


def weibull_quantile(values: Sequence[float], share: float) -> float:
    """Return the quantile of `values` with plotting positions i/(n+1), in their own unit.

    Parameters
    ----------
    values
        At least one, in any unit.
    share
        Share of cases below. [-], 0..1; outside 1/(n+1)..n/(n+1) it is the least or greatest value

    Raises
    ------
    InputError
        If there are no values.
    OutOfRangeError
        If the share lies outside its range.

    References
    ----------
    W. Weibull 1939; Hyndman & Fan, The American Statistician 50 (1996), 361, definition 6.
    """
    require("share", share, 0.0, 1.0)
    if not values:
        raise InputError("values", "needs at least one value")
    ranked = sorted(values)
    position = share * (len(ranked) + 1)
    below = min(max(math.floor(position), 1), max(len(ranked) - 1, 1))
    weight = min(max(position - below, 0.0), 1.0)
    above = ranked[min(below, len(ranked) - 1)]
    return (1.0 - weight) * ranked[below - 1] + weight * above


def normal_fit(days: Sequence[int]) -> NormalDist:
    """Return the normal distribution of dates. [d].

    Parameters
    ----------
    days
        Two at least, as numbers of days. [d], any

    Raises
    ------
    StatisticsError
        If there are fewer than two.

    References
    ----------
    Normal fit of frost dates: Vestal 1971, NOAA Technical Memorandum.
    """
    # Identical dates have no spread to fit; a tenth of a day keeps the distribution defined.
    return NormalDist(fmean(days), max(stdev(days), 0.1))


def quantile_reach(days: Sequence[int], share: float, *, seasons: int) -> float:
    """Return how far a quantile may be off either way, in nine cases of ten. [d].

    Parameters
    ----------
    days
        Three dates at least, one of each season with frost. [d], any
    share
        Share of them below the quantile. [-], over 0 and below 1
    seasons
        How many seasons there were, those without frost counted. [-], 3..1000

    Raises
    ------
    StatisticsError
        If the share is 0 or 1.

    References
    ----------
    Error of ranked dates by the density of the fit: Kendall & Stuart, The Advanced Theory of
    Statistics, vol. 1, 10.10. Where only some seasons had frost, how well that chance is known is
    added (binomial). Student's t, because the spread itself comes from few dates.
    """
    n = len(days)
    z = NormalDist().inv_cdf(share)
    density = NormalDist().pdf(z)
    fit = 1.0 / n + z**2 / (2.0 * (n - 1))
    ranked = share * (1.0 - share) / n / density**2
    chance = share**2 * (1.0 - n / seasons) / n / density**2
    variance = fit + chance if n < seasons else max(fit, ranked)
    return _student(n - 1) * normal_fit(days).stdev * math.sqrt(variance)


def _student(freedom: int) -> float:
    """Return the 95 % point of Student's t: Abramowitz & Stegun, 26.7.5, to 2 % from two on."""
    z = _RANGE
    return (
        z
        + (z**3 + z) / (4.0 * freedom)
        + (5.0 * z**5 + 16.0 * z**3 + 3.0 * z) / (96.0 * freedom**2)
        + (3.0 * z**7 + 19.0 * z**5 + 17.0 * z**3 - 15.0 * z) / (384.0 * freedom**3)
    )
