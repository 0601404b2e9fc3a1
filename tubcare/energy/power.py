"""What a tub draws in each hour, and sums of it by day, month and season."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.chiller import Evaporator
from tubcare.energy.hourly_load import HourlyRun, TubState
from tubcare.energy.load import acting
from tubcare.energy.lumped import J_PER_KWH, LumpedBody, temperature_after_c, time_to_reach_s
from tubcare.energy.ranges import require
from tubcare.energy.thermostat import run_thermostat

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tubcare.energy.hours import HourRange
    from tubcare.energy.tub import Tub
    from tubcare.energy.weather import Weather

    Hours = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerRun:
    """What happened and what was drawn in each hour; float64 arrays of shape (hours,), [kWh]."""

    hours: HourRange
    run: HourlyRun
    compressor_kwh: Hours
    fan_kwh: Hours
    pump_kwh: Hours
    held_off: NDArray[np.bool_]

    @property
    def total_kwh(self) -> Hours:
        """Everything that the meter counts in each hour. [kWh]."""
        return self.compressor_kwh + self.fan_kwh + self.pump_kwh

    def totals(self) -> PowerTotals:
        """Return the sums over all hours."""
        return PowerTotals(
            kwh=float(self.total_kwh.sum()),
            compressor_kwh=float(self.compressor_kwh.sum()),
            fan_kwh=float(self.fan_kwh.sum()),
            pump_kwh=float(self.pump_kwh.sum()),
            run_h=float(self.run.run_h.sum()),
            starts=int(self.run.starts.sum()),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerTotals:
    """Sums over a run: energy [kWh], compressor hours [h] and starts."""

    kwh: float
    compressor_kwh: float
    fan_kwh: float
    pump_kwh: float
    run_h: float
    starts: int


def run_power(
    tub: Tub, hours: HourRange, weather: Weather, start: TubState | None = None
) -> PowerRun:
    """Return what `tub` draws in each hour of `hours`.

    Parameters
    ----------
    tub
        What it is.
    hours
        Which hours.
    weather
        Of the same hours, without gaps. Air [°C], -60..60; sun [W m⁻²], 0..1500
    start
        Where it starts; at its set point when None.

    Raises
    ------
    InputError
        If the weather does not cover the hours or has gaps.

    Notes
    -----
    The compressor draws Q / COP with the COP at the mean water temperature while it ran in that
    hour. Pump power counts once as electricity and, by its heat share, once as heat.

    References
    ----------
    Thermostat: see `run_thermostat`; COP: see `Chiller`.
    """
    state = start or TubState(water_c=tub.thermostat.set_point_c)
    acts = acting(tub, hours, weather)
    run = run_thermostat(acts.load, tub.thermostat, state)
    ran = np.flatnonzero(run.run_s)
    cop = tub.chiller.cop(water_c=run.running_mean_c[ran], air_c=weather.air_c[ran])
    compressor_kwh = np.zeros(hours.count)
    compressor_kwh[ran] = run.cooling_j[ran] / cop / J_PER_KWH
    return PowerRun(
        hours=hours,
        run=run,
        compressor_kwh=compressor_kwh,
        fan_kwh=run.run_s * (tub.chiller.fan_w / J_PER_KWH),
        pump_kwh=acts.pump_w / 1000.0,
        held_off=acts.held_off,
    )


def lumped_body(tub: Tub, *, air_c: float, chiller_on: bool) -> LumpedBody:
    """Return `tub` in still weather without sun, pump running, with or without the chiller.

    Parameters
    ----------
    tub
        What it is.
    air_c
        Air temperature. [°C], -60..60
    chiller_on
        Whether its cooling counts.

    Raises
    ------
    OutOfRangeError
        If the air lies outside its range.

    References
    ----------
    Lumped-capacity method (e.g. Incropera & DeWitt, ch. 5); capacity: see `Chiller`.
    """
    base, slope = tub.chiller.capacity_w(air_c)
    return LumpedBody(
        heat_capacity_j_k=tub.heat_capacity_j_k,
        ua_w_k=tub.envelope.ua_w_k(),
        air_c=air_c,
        gain_w=tub.pump.power_w * tub.pump.heat_share,
        cooling_w=float(base) if chiller_on else 0.0,
        cooling_slope_w_k=float(slope) if chiller_on else 0.0,
    )


def pull_down_h(tub: Tub, *, fill_c: float, air_c: float) -> float | None:
    """Return how long the chiller needs from a fill to the set point; None: never. [h].

    Parameters
    ----------
    tub
        With its set point.
    fill_c
        Temperature of the fresh water. [°C], 0..40
    air_c
        Mean air temperature meanwhile. [°C], -30..45

    Raises
    ------
    OutOfRangeError
        If a temperature lies outside its range.

    References
    ----------
    Lumped-capacity method, solved for the time; the pump is taken to run throughout.
    """
    require("fill_c", fill_c, 0.0, 40.0)
    require("air_c", air_c, -30.0, 45.0)
    body = lumped_body(tub, air_c=air_c, chiller_on=_may_run(tub, air_c))
    target_c = tub.thermostat.set_point_c
    if fill_c <= target_c:
        return 0.0
    took_s = time_to_reach_s(body, start_c=fill_c, target_c=target_c)
    return None if took_s is None else took_s / 3600.0


def _may_run(tub: Tub, air_c: float) -> bool:
    """Say whether the chiller works at all: not resting, warm enough for it, with its flow."""
    least_c, kind = tub.chiller.least_air_c, tub.chiller.evaporator
    flows = kind is not Evaporator.FLOW_THROUGH or tub.pump.hours_per_day > 0.0
    return not tub.resting and flows and (least_c is None or air_c >= least_c)


def power_off_drift_c(tub: Tub, *, start_c: float, air_c: float, after_h: float) -> float:
    """Return the water temperature `after_h` hours into a power cut, pump and chiller off. [°C].

    Holds the result at 0 °C, where ice begins to form.

    Parameters
    ----------
    tub
        What it is.
    start_c
        Water temperature at the start. [°C], 0..60
    air_c
        Air temperature meanwhile. [°C], -60..60
    after_h
        Time that passes. [h], 0..200000

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    Lumped-capacity method (e.g. Incropera & DeWitt, ch. 5).
    """
    require("after_h", after_h, 0.0, 200000.0)
    body = LumpedBody(
        heat_capacity_j_k=tub.heat_capacity_j_k, ua_w_k=tub.envelope.ua_w_k(), air_c=air_c
    )
    return max(0.0, temperature_after_c(body, start_c=start_c, duration_s=after_h * 3600.0))
