"""Steps a tub with its thermostat through hours of weather in closed form.

Within an hour all coefficients are constant, so the temperature is an exponential between two
switchings. An hour in which nothing switches costs one multiplication; an hour with switchings is
walked from event to event. Everything else is summed up afterwards over whole arrays.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import expm1, log1p
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.hourly_load import HourlyRun, TubState
from tubcare.energy.lumped import SECONDS_PER_HOUR
from tubcare.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tubcare.energy.hourly_load import HourlyLoad, Thermostat

    Hours = NDArray[np.float64]

_OFF, _ON, _MIXED, _ICE = 0, 1, 2, 3
# Stands in for no decay at all [1/s]: a tub without any leak then changes in a straight line.
_LEAST_DECAY = 1e-15
# Above it the figures of a chilled tub have no meaning. [°C]
_MOST_WATER_C = 60.0
# (x - 1 + e^-x) / x^2 = 1/2 - x/6 + x^2/24 - x^3/120 + ...
_SERIES = (1.0 / 2.0, -1.0 / 6.0, 1.0 / 24.0, -1.0 / 120.0)
_SERIES_LIMIT = 1e-3


@dataclass(slots=True)
class _Trace:
    """What the walk writes down; plain lists, which grow faster than arrays."""

    water_c: list[float]
    modes: bytearray
    # Hours that begin with a start, after the compressor was held off.
    resumed_hours: list[int]
    # For each hour with switchings: which hour, whether it began running, how many stretches ...
    mixed: list[int]
    # ... and one after another how long each stretch took.
    stretch_s: list[float]


def run_thermostat(load: HourlyLoad, thermostat: Thermostat, start: TubState) -> HourlyRun:
    """Return what the tub does in each hour of `load` from `start` on.

    Below 0 °C the liquid model ends: the water is held at 0 °C while ice takes up the loss, and
    warms again only after that heat came back.

    Parameters
    ----------
    load
        What acts on the water, in the units of its fields.
    thermostat
        Switching points. [°C], 1..30
    start
        Where it starts. [°C], 0..60

    Raises
    ------
    InputError
        If the water would pass 60 °C, where the model ends.

    References
    ----------
    Closed form between two switchings, with every coefficient constant within an hour: the
    lumped-capacity method (e.g. Incropera & DeWitt, Fundamentals of Heat and Mass Transfer,
    ch. 5).
    """
    walk = _Walk(load, thermostat, start)
    walk.run()
    if max(walk.trace.water_c, default=0.0) > _MOST_WATER_C:
        raise InputError(
            "tub",
            f"the water would pass {_MOST_WATER_C:g} °C; check leak, pump, dips and chiller",
        )
    return _summed(load, walk, start)


class _Walk:
    """Goes through the hours once; keeps the state between them."""

    def __init__(self, load: HourlyLoad, thermostat: Thermostat, start: TubState) -> None:
        self.load = load
        self.low_c = thermostat.set_point_c - thermostat.half_band_k
        self.high_c = thermostat.set_point_c + thermostat.half_band_k
        self.water_c = start.water_c
        self.ice_j = start.ice_j
        kept = start.calling and start.water_c > self.low_c
        self.calling = kept or start.water_c >= self.high_c
        self.running = start.running and self.calling
        self.trace = _Trace([], bytearray(load.gain_w.size), [], [], [])
        self.gain_w = (load.gain_w, load.gain_w - load.cooling_w)
        self.slope_w_k = (load.slope_w_k, load.slope_w_k + load.cooling_slope_w_k)

    def run(self) -> None:  # noqa: C901, PLR0912, PLR0915  a call per switching hour costs a fifth of the season
        """Walk all hours: at once where nothing switches, from event to event elsewhere."""
        idle_factor, idle_step, idle_drift, idle_decay = self._coefficients(0)
        run_factor, run_step, run_drift, run_decay = self._coefficients(1)
        low_c, high_c, water_c = self.low_c, self.high_c, self.water_c
        calling, running = self.calling, self.running
        # With ice no hour is plain: nothing lies below this limit then.
        limit_c = 0.0 if self.ice_j else high_c
        trace = self.trace
        record, write, mixed, modes = (
            trace.water_c.append,
            trace.stretch_s.append,
            trace.mixed,
            trace.modes,
        )
        hour = -1
        rows = zip(idle_factor, idle_step, run_factor, run_step, self.load.may_run.tolist())  # noqa: B905  a strict zip is slower; the lengths were checked
        for factor, step, factor_on, step_on, allowed in rows:
            hour += 1
            if not calling:
                end_c = factor * water_c + step
                if 0.0 < end_c < limit_c:
                    water_c = end_c
                    record(end_c)
                    continue
                plain = allowed and end_c > 0.0 and limit_c > 0.0
            elif running and allowed:
                end_c = factor_on * water_c + step_on
                if end_c > low_c:
                    modes[hour] = _ON
                    water_c = end_c
                    record(end_c)
                    continue
                plain = True
            else:
                end_c = factor * water_c + step
                plain = allowed and end_c > 0.0
                if plain:
                    trace.resumed_hours.append(hour)
                    end_c = factor_on * water_c + step_on
            if not plain:
                water_c = self._blocked_hour(hour, end_c)
                running, limit_c = False, 0.0 if self.ice_j else high_c
                calling = water_c >= high_c or (calling and water_c > low_c)
                record(water_c)
                continue
            began, left_s, count = calling, SECONDS_PER_HOUR, 1
            k = run_decay[hour] if calling else idle_decay[hour]
            rate = (run_drift[hour] if calling else idle_drift[hour]) - k * water_c
            while end_c <= low_c if calling else end_c >= high_c:
                target_c = low_c if calling else high_c
                share = k * (target_c - water_c) / rate if rate else 1.0
                # Where the limit is also the equilibrium, rounding alone has reached it.
                passed_s = -log1p(-share) / k if share < 1.0 else left_s
                passed_s = min(passed_s, left_s)
                write(passed_s)
                left_s -= passed_s
                count += 1
                water_c, calling = target_c, not calling
                if calling:
                    k = run_decay[hour]
                    rate = run_drift[hour] - k * water_c
                else:
                    k = idle_decay[hour]
                    rate = idle_drift[hour] - k * water_c
                end_c = water_c - rate * expm1(-k * left_s) / k
            write(left_s)
            mixed += (hour, began, count)
            water_c, running = end_c, calling
            if end_c < 0.0:
                # So much is lost in what is left of the hour that ice forms after the compressor.
                water_c, limit_c = self._blocked_hour(hour, end_c), 0.0
            record(water_c)
        self.water_c, self.calling, self.running = water_c, calling, running

    def _coefficients(
        self, side: int
    ) -> tuple[list[float], list[float], list[float], list[float]]:
        """Return factor and step of ``T_end = factor T + step``, drift [K/s] and decay [1/s].

        Lists, because one element of a list is read several times faster than one of an array.
        """
        capacity = self.load.heat_capacity_j_k
        drift = self.gain_w[side] / capacity
        decay = np.maximum(self.slope_w_k[side] / capacity, _LEAST_DECAY)
        lost = -np.expm1(-SECONDS_PER_HOUR * decay)
        return (
            (1.0 - lost).tolist(),
            (drift * lost / decay).tolist(),
            drift.tolist(),
            decay.tolist(),
        )

    def _blocked_hour(self, hour: int, end_c: float) -> float:
        """Pass an hour with the compressor held off, or with ice; return the end temperature."""
        if self.ice_j:
            self.trace.modes[hour] = _ICE
            # At 0 °C nothing depends on the temperature: the gain melts, a loss freezes more.
            self.ice_j -= float(self.load.gain_w[hour]) * SECONDS_PER_HOUR
            end_c = 0.0
            if self.ice_j < 0.0:
                end_c, self.ice_j = -self.ice_j / self.load.heat_capacity_j_k, 0.0
        elif end_c <= 0.0:
            self.ice_j, end_c = -end_c * self.load.heat_capacity_j_k, 0.0
        return end_c


def _summed(load: HourlyLoad, walk: _Walk, start: TubState) -> HourlyRun:
    """Add up the stretches of each hour."""
    n = load.gain_w.size
    water_c = np.fromiter(walk.trace.water_c, np.float64, n)
    modes = np.frombuffer(walk.trace.modes, dtype=np.uint8).copy()
    mixed = np.fromiter(walk.trace.mixed, np.intp, len(walk.trace.mixed)).reshape(-1, 3)
    modes[mixed[:, 0]] = _MIXED
    before_c = np.concatenate(([start.water_c], water_c[:-1]))[:n]
    ran_whole = modes == _ON
    capacity = load.heat_capacity_j_k
    gain = np.where(ran_whole, walk.gain_w[1], walk.gain_w[0])
    slope = np.where(ran_whole, walk.slope_w_k[1], walk.slope_w_k[0])
    degree_s = _degree_seconds(gain, slope, before_c, SECONDS_PER_HOUR, capacity)
    degree_s[(modes == _MIXED) | (modes == _ICE)] = 0.0
    run_s = ran_whole * SECONDS_PER_HOUR
    run_degree_s = ran_whole * degree_s
    starts = np.bincount(np.array(walk.trace.resumed_hours, dtype=np.intp), minlength=n)
    if mixed.size:
        hour, on, start_c, started = _stretches(walk, mixed, before_c)
        duration_s = np.fromiter(walk.trace.stretch_s, np.float64, len(walk.trace.stretch_s))
        gain = np.where(on, walk.gain_w[1][hour], walk.gain_w[0][hour])
        slope = np.where(on, walk.slope_w_k[1][hour], walk.slope_w_k[0][hour])
        piece = _degree_seconds(gain, slope, start_c, duration_s, capacity)
        degree_s += np.bincount(hour, weights=piece, minlength=n)
        run_s += np.bincount(hour, weights=on * duration_s, minlength=n)
        run_degree_s += np.bincount(hour, weights=on * piece, minlength=n)
        starts = starts + np.bincount(hour[started], minlength=n)
    return HourlyRun(
        water_c=water_c,
        mean_c=degree_s / SECONDS_PER_HOUR,
        run_s=run_s,
        running_mean_c=np.divide(run_degree_s, run_s, out=water_c.copy(), where=run_s > 0.0),
        starts=starts.astype(np.float64),
        gain_j=load.gain_w * SECONDS_PER_HOUR - load.slope_w_k * degree_s,
        cooling_j=load.cooling_w * run_s + load.cooling_slope_w_k * run_degree_s,
        ice_hours=(modes == _ICE) | (water_c <= 0.0),
        end=TubState(
            water_c=walk.water_c, ice_j=walk.ice_j, calling=walk.calling, running=walk.running
        ),
    )


def _stretches(
    walk: _Walk, mixed: NDArray[np.intp], before_c: Hours
) -> tuple[NDArray[np.intp], NDArray[np.bool_], Hours, NDArray[np.bool_]]:
    """Return hour, whether running, start temperature, whether it is a start, of each stretch."""
    hours, began, counts = mixed.T
    firsts = np.cumsum(counts) - counts
    number = np.arange(len(walk.trace.stretch_s)) - np.repeat(firsts, counts)
    on = (np.repeat(began, counts) + number) % 2 == 1
    start_c = np.where(on, walk.high_c, walk.low_c)
    start_c[firsts] = before_c[hours]
    return np.repeat(hours, counts), on, start_c, on & (number > 0)


def _degree_seconds(
    gain_w: Hours, slope_w_k: Hours, start_c: Hours, duration_s: Hours | float, capacity: float
) -> Hours:
    """Return the time integral of the temperature over a stretch. [°C s]."""
    exponent = slope_w_k * (duration_s / capacity)
    rate = (gain_w - slope_w_k * start_c) / capacity
    # (x - 1 + e^-x) / x^2 loses digits for small x, where its series is exact to 1e-13.
    share = _SERIES[0] + exponent * (_SERIES[1] + exponent * (_SERIES[2] + exponent * _SERIES[3]))
    if exponent.size and float(exponent.max()) > _SERIES_LIMIT:
        safe = np.where(exponent > _SERIES_LIMIT, exponent, 1.0)
        exact = (safe + np.expm1(-safe)) / safe**2
        share = np.where(exponent > _SERIES_LIMIT, exact, share)
    integral: Hours = duration_s * (start_c + rate * (duration_s * share))
    return integral
