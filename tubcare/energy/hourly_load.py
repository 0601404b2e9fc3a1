"""What acts on the water by the hour, the thermostat's switching points, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.lumped import SECONDS_PER_HOUR
from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Hours = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class HourlyLoad:
    """What acts on the water in each hour; float64 arrays of shape (hours,).

    The heat flow into the water is ``gain_w - slope_w_k T`` and, while the compressor runs, less
    ``cooling_w + cooling_slope_w_k T`` with T in [°C].

    Parameters
    ----------
    heat_capacity_j_k
        Heat capacity of the water. [J K⁻¹], 1..1e9
    gain_w
        Heat flow into water at 0 °C. [W]
    slope_w_k
        By how much that falls for each kelvin. [W K⁻¹], 0..1e5
    cooling_w, cooling_slope_w_k
        Heat taken out while running, at 0 °C and more for each kelvin. [W], [W K⁻¹]
    may_run
        Whether the compressor is allowed to run.
    """

    heat_capacity_j_k: float
    gain_w: Hours
    slope_w_k: Hours
    cooling_w: Hours
    cooling_slope_w_k: Hours
    may_run: NDArray[np.bool_]

    def __post_init__(self) -> None:
        require("heat_capacity_j_k", self.heat_capacity_j_k, 1.0, 1e9)
        shape = self.gain_w.shape
        for name in ("slope_w_k", "cooling_w", "cooling_slope_w_k", "may_run"):
            if getattr(self, name).shape != shape:
                raise InputError(name, "needs one value for each hour")
        for values in (self.gain_w, self.slope_w_k, self.cooling_w, self.cooling_slope_w_k):
            if not np.isfinite(values).all():
                raise InputError("weather", "a value is missing; fill or drop that hour first")
        if self.slope_w_k.size:
            require("slope_w_k", float(self.slope_w_k.min()), 0.0, 1e5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Thermostat:
    """Switching points of the controller. [°C], set point 1..30; [K], half band 0.05..5."""

    set_point_c: float
    half_band_k: float = 0.5

    def __post_init__(self) -> None:
        require("set_point_c", self.set_point_c, 1.0, 30.0)
        require("half_band_k", self.half_band_k, 0.05, min(5.0, self.set_point_c - 0.25))


@dataclass(frozen=True, slots=True, kw_only=True)
class TubState:
    """Where a run starts or ends: water [°C], 0..60, and the switches.

    `ice_j` is the heat taken out by ice. [J], 0..1e13
    """

    water_c: float
    ice_j: float = 0.0
    calling: bool = False
    running: bool = False

    def __post_init__(self) -> None:
        require("water_c", self.water_c, 0.0, 60.0)
        require("ice_j", self.ice_j, 0.0, 1e13)


@dataclass(frozen=True, slots=True, kw_only=True)
class HourlyRun:
    """What happened in each hour; float64 arrays of shape (hours,) unless said otherwise.

    `water_c` is the temperature at the end of the hour, `running_mean_c` the mean while the
    compressor ran (the end temperature where it did not). `gain_j` is the heat that came in,
    `cooling_j` what the compressor took out. `ice_hours` says where the water stood at 0 °C.
    """

    water_c: Hours
    mean_c: Hours
    run_s: Hours
    running_mean_c: Hours
    starts: Hours
    gain_j: Hours
    cooling_j: Hours
    ice_hours: NDArray[np.bool_]
    end: TubState

    @property
    def run_h(self) -> Hours:
        """Compressor hours in each hour. [h]."""
        return self.run_s / SECONDS_PER_HOUR
