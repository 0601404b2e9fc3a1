"""The line through a tub's loss rates: against use, and against temperature where the log tells.

Loss between two readings is one rate. Warmer water and more bathers raise it; how much is taken
from the log only where the log can tell it from noise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import fmean
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

# Arrhenius E/R of bulk chlorine decay 7000-10000 K (from memory): middle of the range.
PUBLISHED_E_OVER_R_K: Final = 8500.0
_E_OVER_R_RANGE_K: Final = (0.0, 20_000.0)
_FEWEST_FOR_USE = 6
_FEWEST_FOR_TEMPERATURE = 8
# Less than this apart, temperatures say nothing of their own. Own choice.
_LEAST_SPAN_K = 4.0
# Two-sided 90 % points of Student's t for 1, 2, ... degrees of freedom (standard table).
_T90 = (6.31, 2.92, 2.35, 2.13, 2.02, 1.94, 1.89, 1.86, 1.83, 1.81)
_T90_MANY = 1.68
# With one pair nobody knows the spread: a factor of two either way (own choice).
_SINGLE_SPREAD = 2.0
_GOLDEN = 0.5 * (math.sqrt(5.0) - 1.0)
_SEARCH_STEPS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class RatePoint:
    """One pair of readings: rate [1/d], dips per day [1/d], temperature. [°C]."""

    rate: float
    use: float
    water_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """The rate [1/d] at a use [dips/d] and temperature [°C], with the 90 % range of one more pair.

    `slope` per dip a day, None where the log does not tell; `e_over_r_k` of the temperature [K],
    the published one unless `temperature_fitted`.
    """

    use: float
    water_c: float
    middle: float
    low: float
    high: float
    slope: float | None
    e_over_r_k: float
    temperature_fitted: bool

    def at(self, *, use: float, water_c: float) -> float:
        """Return the rate at another use and temperature [1/d]."""
        rate = max(0.0, self.middle + (self.slope or 0.0) * (use - self.use))
        return rate * arrhenius(self.e_over_r_k, self.water_c, water_c)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fit:
    """A straight line through carried rates, `slope` 0 where it is the mean."""

    mean_use: float
    mean_rate: float
    slope: float
    spread: float
    residuals: tuple[float, ...]
    parameters: int

    @property
    def squares(self) -> float:
        """Sum of the squared residuals."""
        return sum(each * each for each in self.residuals)

    @property
    def freedom(self) -> int:
        """Degrees of freedom left."""
        return len(self.residuals) - self.parameters

    def at(self, use: float) -> float:
        """Return the rate at a use."""
        return self.mean_rate + self.slope * (use - self.mean_use)


def arrhenius(e_over_r_k: float, from_c: float, to_c: float) -> float:
    """Return the factor by which decay changes between two temperatures. [-].

    Raises nothing.

    Parameters
    ----------
    e_over_r_k
        Activation energy over the gas constant. [K], any
    from_c, to_c
        [°C], any over absolute zero

    References
    ----------
    Arrhenius: exp(-E/R (1/T2 - 1/T1)).
    """
    return math.exp(-e_over_r_k * (1.0 / (to_c + 273.15) - 1.0 / (from_c + 273.15)))


def fit_line(points: Sequence[RatePoint], *, water_c: float, use: float) -> Line:
    """Return the rate at a temperature and a use by the points, one at least.

    Use counts from six points on, temperature from eight on that span 4 K, and either only where
    it stands out of the noise at 90 %.

    Parameters
    ----------
    water_c
        [°C], any over absolute zero
    use
        [dips/d], any

    References
    ----------
    Least squares, F and Student's t: standard. Arrhenius form for bulk decay of chlorine.
    """
    e_over_r, fitted = _temperature(points, water_c)
    found = _fit(_carried(points, e_over_r, water_c), [point.use for point in points])
    middle = max(0.0, found.at(use))
    low, high = _band(found, middle, use, extra=1 if fitted else 0)
    return Line(
        use=use,
        water_c=water_c,
        middle=middle,
        low=low,
        high=high,
        slope=found.slope or None,
        e_over_r_k=e_over_r,
        temperature_fitted=fitted,
    )


def _carried(points: Sequence[RatePoint], e_over_r: float, water_c: float) -> list[float]:
    return [p.rate * arrhenius(e_over_r, p.water_c, water_c) for p in points]


def _temperature(points: Sequence[RatePoint], water_c: float) -> tuple[float, bool]:
    """Return E/R [K], and whether it is the log's own."""
    warm = [point.water_c for point in points]
    if len(points) < _FEWEST_FOR_TEMPERATURE or max(warm) - min(warm) < _LEAST_SPAN_K:
        return PUBLISHED_E_OVER_R_K, False
    uses = [point.use for point in points]

    def scatter(e_over_r: float) -> float:
        fit = _fit(_carried(points, e_over_r, water_c), uses)
        return fit.squares / max(1e-12, fit.mean_rate) ** 2

    best = _least(scatter)
    fit = _fit(_carried(points, best, water_c), uses)
    freedom = fit.freedom - 1
    if freedom < 1:
        return PUBLISHED_E_OVER_R_K, False
    gain = scatter(PUBLISHED_E_OVER_R_K) - scatter(best)
    noise = scatter(best) / freedom
    return (best, True) if gain > _t90(freedom) ** 2 * noise else (PUBLISHED_E_OVER_R_K, False)


def _least(scatter: Callable[[float], float]) -> float:
    """Return the E/R of least scatter by golden sections."""
    low, high = _E_OVER_R_RANGE_K
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = scatter(left), scatter(right)
    for _ in range(_SEARCH_STEPS):
        if at_left < at_right:
            high, right, at_right = right, left, at_left
            left = high - _GOLDEN * (high - low)
            at_left = scatter(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + _GOLDEN * (high - low)
            at_right = scatter(right)
    return 0.5 * (low + high)


def _fit(rates: Sequence[float], uses: Sequence[float]) -> _Fit:
    """Return the line through the rates: the mean, unless use stands out of the noise."""
    mean_use, mean_rate = fmean(uses), fmean(rates)
    flat = _Fit(
        mean_use=mean_use,
        mean_rate=mean_rate,
        slope=0.0,
        spread=0.0,
        residuals=tuple(rate - mean_rate for rate in rates),
        parameters=1,
    )
    spread = sum((use - mean_use) ** 2 for use in uses)
    if len(rates) < _FEWEST_FOR_USE or spread <= 1e-9:
        return flat
    joint = sum((u - mean_use) * (r - mean_rate) for u, r in zip(uses, rates, strict=True))
    slope = joint / spread
    tilted = _Fit(
        mean_use=mean_use,
        mean_rate=mean_rate,
        slope=slope,
        spread=spread,
        residuals=tuple(
            rate - mean_rate - slope * (use - mean_use)
            for rate, use in zip(rates, uses, strict=True)
        ),
        parameters=2,
    )
    doubt = math.sqrt(tilted.squares / tilted.freedom / spread)
    # Bathers never slow the loss, and a slope within the noise is none.
    return tilted if slope > max(0.0, _t90(tilted.freedom) * doubt) else flat


def _band(found: _Fit, middle: float, use: float, *, extra: int) -> tuple[float, float]:
    """Return the 90 % range of one more pair at a use."""
    freedom = found.freedom - extra
    if freedom < 1:
        return middle / _SINGLE_SPREAD, middle * _SINGLE_SPREAD
    away = (use - found.mean_use) ** 2 / found.spread if found.spread else 0.0
    deviation = math.sqrt(found.squares / freedom)
    reach = _t90(freedom) * deviation * math.sqrt(1.0 + 1.0 / len(found.residuals) + away)
    return max(0.0, middle - reach), middle + reach


def _t90(freedom: int) -> float:
    return _T90[freedom - 1] if freedom <= len(_T90) else _T90_MANY
