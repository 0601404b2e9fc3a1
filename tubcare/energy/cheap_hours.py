"""When to run the chiller: cheapest hours, within a temperature band that the person allows.

Cold water is a store. The plan is found by dynamic programming over hours and water temperature
(Bellman 1957): from the last hour backwards, the least cost from each temperature on.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.hourly_load import Thermostat, TubState
from tubcare.energy.load import Acting, acting
from tubcare.energy.lumped import J_PER_KWH
from tubcare.energy.power import run_power
from tubcare.energy.ranges import require
from tubcare.energy.tariff import hourly_minor
from tubcare.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tubcare.energy.hours import HourRange
    from tubcare.energy.tariff import Tariff
    from tubcare.energy.tub import Tub
    from tubcare.energy.weather import Weather

    Hours = NDArray[np.float64]

_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
_GRID_POINTS = 81
_COARSE_POINTS = 41
_MOST_HOURS = 24 * 7
# Minor units for each kelvin and hour outside the band: more than any price could outweigh.
_OUTSIDE_MINOR_K = 1e7


def cheapest_hours(minor_per_kwh: Hours, *, need_h: float) -> tuple[tuple[int, float], ...]:
    """Return the cheapest hours, in order of time, with the share of each that is needed. [-].

    Parameters
    ----------
    minor_per_kwh
        Price of each hour; NaN is never picked. [minor units per kWh], any
    need_h
        Hours to run. [h], 0..known prices

    Raises
    ------
    OutOfRangeError
        If more hours are needed than have a price.

    References
    ----------
    Own definition; hours alike in price are taken in order of time.
    """
    known = np.flatnonzero(~np.isnan(minor_per_kwh))
    require("need_h", need_h, 0.0, float(known.size))
    order = known[np.argsort(minor_per_kwh[known], kind="stable")]
    picked: list[tuple[int, float]] = []
    for hour in order:
        left = need_h - len(picked)
        if left <= 0.0:
            break
        picked.append((int(hour), min(1.0, left)))
    return tuple(sorted(picked))


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Water temperatures that are allowed. [°C], 0.5..30, the upper at least 0.2 K higher."""

    low_c: float
    high_c: float

    def __post_init__(self) -> None:
        require("low_c", self.low_c, 0.5, 29.8)
        require("high_c", self.high_c, self.low_c + 0.2, 30.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningPlan:
    """When to run, and what that saves against a thermostat in the middle of the band.

    Costs are compared at equal cold: what the water is warmer or colder at the end than at the
    start is counted at the mean price. `leaves_band_h` is over 0 when no plan keeps the band.
    """

    run_share: Hours
    water_c: Hours
    cost_minor: float
    thermostat_minor: float
    leaves_band_h: int

    @property
    def saving_minor(self) -> float:
        """Saved against the thermostat. [minor units]."""
        return self.thermostat_minor - self.cost_minor


@dataclass(frozen=True, slots=True, kw_only=True)
class _Steps:
    """End temperature ``factor T + step`` and cost of each hour for each share of running."""

    factor: Hours
    step: Hours
    cost_minor: Hours


def plan_running(
    tub: Tub, hours: HourRange, weather: Weather, *, tariff: Tariff, band: Band, start_c: float
) -> RunningPlan:
    """Return the cheapest way to keep the water within `band`.

    Parameters
    ----------
    tub
        Its own thermostat is not used; the chiller's limits are.
    hours, weather
        The hours to plan, 1..168.
    tariff
        With a price for every hour.
    band
        Allowed temperatures.
    start_c
        Water temperature now. [°C], 0..40

    Raises
    ------
    InputError
        If a price or the weather is missing.
    OutOfRangeError
        If there are too many hours, or the start lies outside its range.

    References
    ----------
    R. Bellman, Dynamic Programming, 1957; grid of 81 temperatures in the band and quarters of an
    hour: own choice.
    """
    require("hours", hours.count, 1, _MOST_HOURS)
    require("start_c", start_c, 0.0, 40.0)
    middle_c = (band.low_c + band.high_c) / 2.0
    half_k = (band.high_c - band.low_c) / 2.0
    held = replace(
        tub, thermostat=Thermostat(set_point_c=max(1.0, middle_c), half_band_k=min(half_k, 0.5))
    )
    prices = hourly_minor(tariff, hours, np.ones(hours.count))
    if np.isnan(prices).any():
        raise InputError("tariff", "an hour has no price yet; plan only hours that have one")
    steps = _steps(held, acting(held, hours, weather), weather, prices)
    grid = _grid(steps, band, start_c)
    per_k = _minor_per_k(held, weather, prices)
    values = _values(steps, grid, band, terminal=(grid - start_c) * per_k)
    share, water_c, paid = _follow(steps, values, grid, band, start_c)
    baseline = run_power(held, hours, weather, TubState(water_c=start_c))
    driven = baseline.compressor_kwh + baseline.fan_kwh
    ends_warmer = (float(baseline.run.water_c[-1]) - start_c) * per_k
    outside = (water_c > band.high_c + 0.02) | (water_c < band.low_c - 0.02)
    return RunningPlan(
        run_share=share,
        water_c=water_c,
        cost_minor=paid + (float(water_c[-1]) - start_c) * per_k,
        thermostat_minor=float((driven * prices).sum()) + ends_warmer,
        leaves_band_h=int(outside.sum()),
    )


def _grid(steps: _Steps, band: Band, start_c: float) -> Hours:
    """Return the temperatures to plan over: the band finely, and coarsely as far as it may go.

    Where no plan keeps the band, how far outside the water stands still tells what is best next.
    """
    coldest = warmest = start_c
    reached = [start_c]
    for factor, step in zip(steps.factor, steps.step, strict=True):
        coldest = float((coldest * factor + step).min())
        warmest = float((warmest * factor + step).max())
        reached += [coldest, warmest]
    below = np.linspace(min(*reached, band.low_c), band.low_c, _COARSE_POINTS)
    inside = np.linspace(band.low_c, band.high_c, _GRID_POINTS)
    above = np.linspace(band.high_c, max(*reached, band.high_c), _COARSE_POINTS)
    return np.unique(np.concatenate((below, inside, above)))


def _minor_per_k(tub: Tub, weather: Weather, prices: Hours) -> float:
    """Return what one kelvin of cold is worth at the mean price. [minor units K⁻¹]."""
    cop = tub.chiller.cop(water_c=tub.thermostat.set_point_c, air_c=weather.air_c)
    kwh = tub.heat_capacity_j_k / J_PER_KWH / float(cop.mean())
    return kwh * float(prices.mean())


def _steps(tub: Tub, acts: Acting, weather: Weather, prices: Hours) -> _Steps:
    """Return how each hour ends for each share of running; running comes first in the hour."""
    load, capacity = acts.load, acts.load.heat_capacity_j_k
    n = prices.size
    factor, step, cost = (np.empty((n, len(_SHARES))) for _ in range(3))
    set_c = tub.thermostat.set_point_c
    cooling_w = load.cooling_w + load.cooling_slope_w_k * set_c
    electric_w = cooling_w / tub.chiller.cop(water_c=set_c, air_c=weather.air_c)
    for number, share in enumerate(_SHARES):
        on = np.where(load.may_run, share, 0.0) * 3600.0
        on_factor, on_step = _relaxed(
            load.gain_w - load.cooling_w, load.slope_w_k + load.cooling_slope_w_k, on / capacity
        )
        off_factor, off_step = _relaxed(load.gain_w, load.slope_w_k, (3600.0 - on) / capacity)
        factor[:, number] = on_factor * off_factor
        step[:, number] = off_factor * on_step + off_step
        cost[:, number] = prices * (electric_w + tub.chiller.fan_w) * on / J_PER_KWH
    return _Steps(factor=factor, step=step, cost_minor=cost)


def _relaxed(gain_w: Hours, slope_w_k: Hours, per_capacity: Hours) -> tuple[Hours, Hours]:
    exponent = slope_w_k * per_capacity
    lost = -np.expm1(-exponent)
    mean_share = np.divide(lost, exponent, out=np.ones_like(exponent), where=exponent > 1e-12)
    return 1.0 - lost, gain_w * per_capacity * mean_share


def _outside_minor(water_c: Hours, band: Band) -> Hours:
    above = np.maximum(water_c - band.high_c, 0.0)
    below = np.maximum(band.low_c - water_c, 0.0)
    return (above + below) * _OUTSIDE_MINOR_K


def _values(steps: _Steps, grid: Hours, band: Band, *, terminal: Hours) -> list[Hours]:
    """Return the least cost to go from each temperature, at the end of each hour."""
    values = [terminal]
    for hour in range(steps.factor.shape[0] - 1, 0, -1):
        ends = grid[:, None] * steps.factor[hour] + steps.step[hour]
        to_go = np.interp(ends, grid, values[-1]) + _outside_minor(ends, band)
        values.append((steps.cost_minor[hour] + to_go).min(axis=1))
    values.reverse()
    return values


def _follow(
    steps: _Steps, values: list[Hours], grid: Hours, band: Band, start_c: float
) -> tuple[Hours, Hours, float]:
    """Walk forward from the true temperature, taking the best share in each hour."""
    n = steps.factor.shape[0]
    share, water = np.zeros(n), np.zeros(n)
    paid, water_c = 0.0, start_c
    for hour in range(n):
        ends = water_c * steps.factor[hour] + steps.step[hour]
        to_go = np.interp(ends, grid, values[hour]) + _outside_minor(ends, band)
        best = int(np.argmin(steps.cost_minor[hour] + to_go))
        share[hour], water_c = _SHARES[best], float(ends[best])
        water[hour] = water_c
        paid += float(steps.cost_minor[hour, best])
    return share, water, paid
