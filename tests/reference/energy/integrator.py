"""A tub with its thermostat stepped by scipy: the slow baseline."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]  # it ships no types

if TYPE_CHECKING:
    from tubcare.energy.chiller import Chiller
    from tubcare.energy.hourly_load import HourlyLoad, Thermostat
    from tubcare.energy.weather import Weather


@dataclass(frozen=True, slots=True, kw_only=True)
class Integrated:
    """Compressor energy [kWh], its hours [h] and starts."""

    compressor_kwh: float
    run_h: float
    starts: int


def integrate(
    load: HourlyLoad, thermostat: Thermostat, chiller: Chiller, weather: Weather, *, start_c: float
) -> Integrated:
    """Integrate temperature, compressor energy and run time with RK45, switching at events."""
    low = thermostat.set_point_c - thermostat.half_band_k
    high = thermostat.set_point_c + thermostat.half_band_k
    arrays = (load.gain_w, load.slope_w_k, load.cooling_w, load.cooling_slope_w_k, weather.air_c)
    gain, slope, cool, cool_slope, air = (values.tolist() for values in arrays)
    count, capacity = len(gain), load.heat_capacity_j_k
    floor, share = chiller.least_condensing_c, chiller.carnot_share

    def rate(t: float, y: np.ndarray, running: float) -> list[float]:
        hour = min(int(t / 3600.0), count - 1)
        net = gain[hour] - slope[hour] * y[0]
        if not running:
            return [net / capacity, 0.0, 0.0]
        cooling = cool[hour] + cool_slope[hour] * y[0]
        warm = max(air[hour] + chiller.condenser_approach_k, floor)
        cold = y[0] - chiller.evaporator_approach_k
        cop = share * (cold + 273.15) / (warm - cold)
        return [(net - cooling) / capacity, cooling / cop, 1.0]

    def too_warm(_t: float, y: np.ndarray, _running: float) -> float:
        return float(y[0]) - high

    def cold_enough(_t: float, y: np.ndarray, _running: float) -> float:
        return float(y[0]) - low

    for event, direction in ((too_warm, 1.0), (cold_enough, -1.0)):
        event.terminal = True  # type: ignore[attr-defined]  # scipy reads it from the function
        event.direction = direction  # type: ignore[attr-defined]  # likewise
    t, y, running, starts = 0.0, np.array([start_c, 0.0, 0.0]), start_c >= high, 0
    starts += running
    while t < count * 3600.0:
        solved = solve_ivp(
            rate,
            (t, count * 3600.0),
            y,
            method="RK45",
            rtol=1e-6,
            atol=(1e-6, 1.0, 1.0),
            events=cold_enough if running else too_warm,
            args=(float(running),),
            max_step=3600.0,
        )
        t, y = float(solved.t[-1]), solved.y[:, -1]
        if solved.status == 1:
            running = not running
            starts += running
    return Integrated(compressor_kwh=y[1] / 3.6e6, run_h=y[2] / 3600.0, starts=int(starts))
