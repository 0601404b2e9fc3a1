"""Energy to hold the water at its set point, without stepping the thermostat.

Good wherever the load stays positive over each hour; a whole day's mean temperature is good only
when its coldest hour still has a positive load.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.load import acting
from tubcare.energy.lumped import J_PER_KWH
from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tubcare.energy.hourly_load import HourlyLoad
    from tubcare.energy.hours import HourRange
    from tubcare.energy.tub import Tub
    from tubcare.energy.weather import Weather

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
        Heat flow into water at the set point, at the middle of each step. [W], finite; a negative
        load needs no cooling and pays nothing back
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

    References
    ----------
    Own derivation; midpoints of the hour agree with quadrature to 0.2 % (scipy, own computation).
    """
    require("step_h", step_h, 1e-4, 1.0)
    if load_w.shape != cop.shape:
        raise InputError("cop", "needs one value for each load")
    if not (np.isfinite(load_w).all() and np.isfinite(cop).all()):
        raise InputError("load_w", "a load or COP is missing; leave that step out first")
    if cop.size and not float(cop.min()) > 0.0:
        raise InputError("cop", "must be over 0")
    cooling_w = np.maximum(load_w, 0.0)
    return Held(
        cooling_kwh=float(cooling_w.sum()) * step_h / 1000.0,
        compressor_kwh=float((cooling_w / cop).sum()) * step_h / 1000.0,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldPower:
    """Each hour with the water held as by a thermostat without a band; float64 (hours,).

    `drawn_kwh` is everything the meter counts: compressor, fan and pump.
    """

    cooling_j: Values
    run_h: Values
    drawn_kwh: Values


def held_power(tub: Tub, hours: HourRange, weather: Weather) -> HeldPower:
    """Return what `tub` draws with its water held at the set point or colder.

    Several times faster than stepping the thermostat and within a few tenths of a per cent of it
    over a season that cools on most days; it knows no starts. Cold that a night leaves in the
    water is kept until it is used up, so a negative load is neither paid back nor lost. A chiller
    too small for the tub is not seen: it is taken to catch up later.

    Parameters
    ----------
    tub
        What it is.
    hours
        Which hours.
    weather
        Of the same hours, without gaps. [°C], -60..60

    Raises
    ------
    InputError
        If the weather does not cover the hours or has gaps.

    References
    ----------
    Own derivation, checked against the stepped thermostat.
    """
    acts = acting(tub, hours, weather)
    load, set_c = acts.load, tub.thermostat.set_point_c
    cooling_j = _taken_out_j(load, set_c)
    capacity_w = np.maximum(load.cooling_w + load.cooling_slope_w_k * set_c, 1.0)
    run_h = cooling_j / capacity_w / 3600.0
    cop = tub.chiller.cop(water_c=set_c, air_c=weather.air_c)
    drawn_kwh = cooling_j / cop / J_PER_KWH
    drawn_kwh += (run_h * tub.chiller.fan_w + acts.pump_w) / 1000.0
    return HeldPower(cooling_j=cooling_j, run_h=run_h, drawn_kwh=drawn_kwh)


def _taken_out_j(load: HourlyLoad, set_c: float) -> Values:
    """Return the heat that must be taken out in each hour to stay at or below the set point."""
    hour_s, capacity = 3600.0, load.heat_capacity_j_k
    net_w = load.gain_w - load.slope_w_k * set_c
    # Below the set point only the difference to it counts: it decays by `kept` each hour.
    exponent = load.slope_w_k * (hour_s / capacity)
    kept = np.exp(-exponent)
    grown = np.divide(1.0 - kept, exponent, out=np.ones_like(exponent), where=exponent > 1e-9)
    steps_k = net_w * (hour_s / capacity) * grown
    taken = np.where(load.may_run, net_w * hour_s, 0.0)
    ever_below = (net_w < 0.0) | ~load.may_run
    if not ever_below.any():
        return taken
    # From an hour that leaves the set point on, the difference is carried along until it is gone
    # again; the hours between such runs stay as they are.
    keep, step_k, allowed = kept.tolist(), steps_k.tolist(), load.may_run.tolist()
    least_k, count, hour = -set_c, len(keep), 0
    for start in np.flatnonzero(ever_below).tolist():
        if start < hour:
            continue
        hour, below_k = start, 0.0
        while hour < count:
            below_k = below_k * keep[hour] + step_k[hour]
            if below_k > 0.0 and allowed[hour]:
                break
            if below_k < least_k:  # noqa: PLR1730  a call costs more than all else here
                below_k = least_k
            hour += 1
        taken[start:hour] = 0.0
        if hour < count:
            taken[hour] = below_k * capacity
            hour += 1
    return taken
