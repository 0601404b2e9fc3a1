"""Straight lines and change points through daily energy over outdoor temperature."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Values = NDArray[np.float64]

_CANDIDATES = 241
_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A least-squares line and how well it is known."""

    slope: float
    intercept: float
    slope_error: float
    intercept_error: float
    r2: float


def fit_line(x: Values, y: Values) -> Line:
    """Return the least-squares line through points.

    Parameters
    ----------
    x, y
        Points; float64 (points,). Any unit, finite

    Raises
    ------
    InputError
        If there are fewer than three points or x does not vary.

    References
    ----------
    Ordinary least squares (e.g. Draper & Smith, Applied Regression Analysis, ch. 1).
    """
    n = x.size
    if n < 3 or y.size != n or float(np.ptp(x)) <= 0.0:
        raise InputError("x", "needs at least three points at different places")
    dx = x - x.mean()
    sxx = float(dx @ dx)
    slope = float(dx @ y) / sxx
    intercept = float(y.mean()) - slope * float(x.mean())
    rest = y - intercept - slope * x
    squares, spread = float(rest @ rest), float(((y - y.mean()) ** 2).sum())
    variance = squares / (n - 2)
    return Line(
        slope=slope,
        intercept=intercept,
        slope_error=math.sqrt(variance / sxx),
        intercept_error=math.sqrt(variance * (1.0 / n + float(x.mean()) ** 2 / sxx)),
        r2=1.0 - squares / spread if spread > 0.0 else 1.0,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class DailyLine:
    """Daily energy over daily mean air temperature, and what follows from it.

    `ua_over_cop_w_k` [W K⁻¹] and `power_at_set_point_w` [W] are all that a plug meter at one set
    point tells: leak and COP cannot be told apart from it.
    """

    line: Line
    ua_over_cop_w_k: float
    ua_over_cop_error_w_k: float
    power_at_set_point_w: float


def fit_daily(air_c: Values, kwh: Values, *, set_point_c: float) -> DailyLine:
    """Return the line through days on which the chiller had a load.

    Parameters
    ----------
    air_c
        Mean air temperature of each day. [°C], -90..60
    kwh
        Energy of each day. [kWh], at least 0
    set_point_c
        Held meanwhile. [°C], 1..30

    Raises
    ------
    InputError
        If there are fewer than three days or the temperature does not vary.

    References
    ----------
    Own derivation: slope = 0.024 UA / COP; the line is the cooling part of ASHRAE RP-1050.
    """
    line = fit_line(air_c, kwh)
    return DailyLine(
        line=line,
        ua_over_cop_w_k=line.slope / 0.024,
        ua_over_cop_error_w_k=line.slope_error / 0.024,
        power_at_set_point_w=(line.intercept + line.slope * set_point_c) / 0.024,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangePoint:
    """``base + slope max(0, x - change_point)``: the three-parameter cooling model."""

    base: float
    slope: float
    change_point: float
    r2: float


def fit_change_point(air_c: Values, kwh: Values) -> ChangePoint:
    """Return the three-parameter cooling model through daily energy.

    Parameters
    ----------
    air_c
        Mean air temperature of each day. [°C], -90..60
    kwh
        Energy of each day. [kWh], at least 0

    Raises
    ------
    InputError
        If there are fewer than five days or the temperature does not vary.

    References
    ----------
    J. K. Kissock, J. S. Haberl, D. E. Claridge, Inverse Modeling Toolkit, ASHRAE RP-1050 (2002).
    """
    if air_c.size < 5 or kwh.size != air_c.size or float(np.ptp(air_c)) <= 0.0:
        raise InputError("air_c", "needs at least five days at different temperatures")
    candidates = np.linspace(float(air_c.min()), float(air_c.max()), _CANDIDATES)[:-1]
    squares = [_hinge(air_c, kwh, float(at))[2] for at in candidates]
    best = int(np.argmin(squares))
    step = float(candidates[1] - candidates[0])
    low, high = float(candidates[best]) - step, float(candidates[best]) + step
    while high - low > 1e-9:
        left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
        if _hinge(air_c, kwh, left)[2] <= _hinge(air_c, kwh, right)[2]:
            high = right
        else:
            low = left
    at = (low + high) / 2.0
    base, slope, left_over = _hinge(air_c, kwh, at)
    spread = float(((kwh - kwh.mean()) ** 2).sum())
    return ChangePoint(
        base=base,
        slope=slope,
        change_point=at,
        r2=1.0 - left_over / spread if spread > 0.0 else 1.0,
    )


def _hinge(air_c: Values, kwh: Values, at: float) -> tuple[float, float, float]:
    """Return base, slope and sum of squares with the change point given."""
    over = np.maximum(air_c - at, 0.0)
    centred = over - over.mean()
    sxx = float(centred @ centred)
    slope = float(centred @ kwh) / sxx if sxx > 0.0 else 0.0
    base = float(kwh.mean()) - slope * float(over.mean())
    rest = kwh - base - slope * over
    return base, slope, float(rest @ rest)
