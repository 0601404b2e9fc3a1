"""The drift test: chiller and pump off, lid on, overnight. It tells the leak without the COP.

The water is the heat meter, so an error in its volume goes straight into the result.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.ranges import require
from tubcare.energy.regression import fit_line
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

LEAST_HOURS = 6.0
ADVISED_HOURS = 12.0
LEAST_RISE_K = 0.5
ADVISED_RISE_K = 1.0
LEAST_DIFFERENCE_K = 5.0
ADVISED_DIFFERENCE_K = 10.0
# How well the air temperature at the tub is usually known; own choice.
AIR_ERROR_K = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftResult:
    """What a drift test tells.

    `fit_error_w_k` is the scatter of the line alone; `error_w_k` adds the air temperature. One
    standard deviation each. `advice` says what would make a repeat better.
    """

    ua_w_k: float
    fit_error_w_k: float
    error_w_k: float
    time_constant_h: float
    advice: tuple[str, ...]

    @property
    def log_sd(self) -> float:
        """Return the standard deviation of the logarithm of the leak, 0.005 at least. [-]."""
        return max(self.error_w_k / self.ua_w_k, 0.005)


def fit_drift(
    elapsed_s: Sequence[float],
    water_c: Sequence[float],
    *,
    air_c: float,
    heat_capacity_j_k: float,
    air_error_k: float = AIR_ERROR_K,
) -> DriftResult:
    """Return the leak of a tub from its warming with everything off.

    Parameters
    ----------
    elapsed_s
        Time of each reading since the start. [s], rising
    water_c
        Water temperature. [°C], 0..40
    air_c
        Mean air temperature meanwhile. [°C], -30..45
    heat_capacity_j_k
        Of the water. [J K⁻¹], 1..1e9
    air_error_k
        How well the air temperature is known. [K], 0..5

    Raises
    ------
    InputError
        If there are fewer than four readings, they last under 6 h, the water moves by under 0.5 K
        or the air is within 5 K of it: then the leak cannot be told.
    OutOfRangeError
        If a value lies outside its range.

    Notes
    -----
    The slope of ln((T_air - T) / (T_air - T_0)) over time is -UA/C.

    References
    ----------
    Own derivation from the lumped-capacity method (e.g. Incropera & DeWitt, ch. 5).
    """
    require("air_c", air_c, -30.0, 45.0)
    require("heat_capacity_j_k", heat_capacity_j_k, 1.0, 1e9)
    require("air_error_k", air_error_k, 0.0, 5.0)
    seconds, water = np.array(elapsed_s, dtype=np.float64), np.array(water_c, dtype=np.float64)
    _require_telling(seconds, water, air_c)
    line = fit_line(seconds, np.log((air_c - water) / (air_c - water[0])))
    ua, fit_error = -line.slope * heat_capacity_j_k, line.slope_error * heat_capacity_j_k
    if ua <= 0.0:
        raise InputError("water_c", "the water moved away from the air; something was running")
    difference_k = abs(air_c - float(water.mean()))
    from_air = ua * air_error_k / difference_k
    return DriftResult(
        ua_w_k=ua,
        fit_error_w_k=fit_error,
        error_w_k=math.hypot(fit_error, from_air),
        time_constant_h=heat_capacity_j_k / ua / 3600.0,
        advice=tuple(_advice(seconds, water, difference_k)),
    )


def _require_telling(seconds: np.ndarray, water: np.ndarray, air_c: float) -> None:
    if not np.isfinite(seconds).all():
        raise InputError("elapsed_s", "a time is missing; leave that reading out")
    if seconds.size < 4 or water.size != seconds.size or not (np.diff(seconds) > 0.0).all():
        raise InputError("elapsed_s", "needs at least four readings in order of time")
    if water.size:
        require("water_c", float(water.min()), 0.0, 40.0)
        require("water_c", float(water.max()), 0.0, 40.0)
    hours = float(seconds[-1] - seconds[0]) / 3600.0
    if hours < LEAST_HOURS:
        raise InputError("elapsed_s", f"{hours:.1f} h are too short; leave it {ADVISED_HOURS:g} h")
    gap_k = air_c - water
    if float(np.abs(gap_k).min()) < LEAST_DIFFERENCE_K or float(gap_k.min() * gap_k.max()) <= 0.0:
        raise InputError(
            "air_c", f"air and water must differ by {ADVISED_DIFFERENCE_K:g} K or more throughout"
        )
    if float(np.ptp(water)) < LEAST_RISE_K:
        raise InputError("water_c", f"the water has to move by {ADVISED_RISE_K:g} K or more")


def _advice(seconds: np.ndarray, water: np.ndarray, difference_k: float) -> list[str]:
    advice = []
    if float(seconds[-1] - seconds[0]) / 3600.0 < ADVISED_HOURS:
        advice.append("drift.longer")
    if difference_k < ADVISED_DIFFERENCE_K:
        advice.append("drift.warmer_air")
    if float(np.ptp(water)) < ADVISED_RISE_K:
        advice.append("drift.longer_rise")
    return advice
