"""Energy to hold the water at its set point, without stepping the thermostat.

Good wherever the load stays positive over each hour; a whole day's mean temperature is good only
when its coldest hour still has a positive load.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Values = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """Heat taken out and compressor electricity. [kWh]."""

    cooling_kwh: float
    compressor_kwh: float


def holding_energy(load_w: Values, cop: Values, *, step_h: float = 1.0) -> Held:
    """Return the energy to take out `load_w` step by step.

    Parameters
    ----------
    load_w
        Heat flow into water at the set point, at the middle of each step. [W]; a negative load
        needs no cooling and pays nothing back
    cop
        COP in each step, over 0. [-]
    step_h
        Length of a step. [h], 0.0001..1: longer steps would hide cold nights

    Raises
    ------
    InputError
        If the arrays differ in length or a COP is not positive.
    OutOfRangeError
        If the step lies outside its range.
    """
    require("step_h", step_h, 1e-4, 1.0)
    if load_w.shape != cop.shape:
        raise InputError("cop", "needs one value for each load")
    if cop.size and not float(cop.min()) > 0.0:
        raise InputError("cop", "must be over 0")
    cooling_w = np.maximum(load_w, 0.0)
    return Held(
        cooling_kwh=float(cooling_w.sum()) * step_h / 1000.0,
        compressor_kwh=float((cooling_w / cop).sum()) * step_h / 1000.0,
    )


def daily_mean_is_enough(load_w: Values) -> bool:
    """Say whether a day's mean may stand for its hours: only when no hour has a negative load."""
    return bool(load_w.size) and float(load_w.min()) >= 0.0
