"""Closed forms of one well mixed body of water: warming, cooling, thermostat cycles.

The balance is ``C dT/dt = UA (T_air - T) + Q_gain - (Q_0 + s T)`` with every coefficient held
constant, so that with ``u = UA + s`` the temperature relaxes exponentially (own derivation; the
lumped-capacity method, e.g. Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, ch. 5).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from tubcare.energy.ranges import require

SECONDS_PER_HOUR = 3600.0
SECONDS_PER_DAY = 86400.0
J_PER_KWH = 3.6e6

# Below this rate [1/s] a tub changes by less than 1e-9 of the difference in a year.
_NEGLIGIBLE_RATE = 1e-17


@dataclass(frozen=True, slots=True, kw_only=True)
class LumpedBody:
    """A mixed body of water with constant surroundings.

    Parameters
    ----------
    heat_capacity_j_k
        Heat capacity of the water. [J K⁻¹], 1..1e9
    ua_w_k
        Heat that leaks in per kelvin of difference to the air. [W K⁻¹], 0..1000
    air_c
        Air temperature. [°C], -60..60
    gain_w
        Heat added whatever the temperature (pump, people). [W], -20000..20000
    cooling_w
        Heat removed at a water temperature of 0 °C. [W], -20000..20000; below 0 where the straight
        line through warmer water says so
    cooling_slope_w_k
        Further heat removed for each kelvin of water temperature. [W K⁻¹], 0..1000

    Raises
    ------
    OutOfRangeError
        If one of them lies outside its range.
    """

    heat_capacity_j_k: float
    ua_w_k: float
    air_c: float
    gain_w: float = 0.0
    cooling_w: float = 0.0
    cooling_slope_w_k: float = 0.0

    def __post_init__(self) -> None:
        require("heat_capacity_j_k", self.heat_capacity_j_k, 1.0, 1e9)
        require("ua_w_k", self.ua_w_k, 0.0, 1000.0)
        require("air_c", self.air_c, -60.0, 60.0)
        require("gain_w", self.gain_w, -20000.0, 20000.0)
        require("cooling_w", self.cooling_w, -20000.0, 20000.0)
        require("cooling_slope_w_k", self.cooling_slope_w_k, 0.0, 1000.0)

    def rate_k_s(self, water_c: float) -> float:
        """Return how fast the water changes at `water_c`. [K s⁻¹], positive when warming."""
        leak = self.ua_w_k * (self.air_c - water_c)
        cooling = self.cooling_w + self.cooling_slope_w_k * water_c
        return (leak + self.gain_w - cooling) / self.heat_capacity_j_k

    @property
    def relaxation_per_s(self) -> float:
        """Inverse of the time constant. [s⁻¹]."""
        return (self.ua_w_k + self.cooling_slope_w_k) / self.heat_capacity_j_k

    def idle(self) -> LumpedBody:
        """Return the same body with the cooling off."""
        return replace(self, cooling_w=0.0, cooling_slope_w_k=0.0)


def temperature_after_c(body: LumpedBody, *, start_c: float, duration_s: float) -> float:
    """Return the water temperature after `duration_s`. [°C].

    Parameters
    ----------
    body
        The water and what surrounds it.
    start_c
        Temperature at the start. [°C], 0..60
    duration_s
        Time that passes. [s], 0..1e9

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    Notes
    -----
    The result may lie below 0 °C; the water is liquid in this model, so a caller who asks about
    freezing takes `tubcare.energy.freezing` instead.

    References
    ----------
    Lumped-capacity method (e.g. Incropera & DeWitt, ch. 5).
    """
    require("start_c", start_c, 0.0, 60.0)
    require("duration_s", duration_s, 0.0, 1e9)
    rate = body.rate_k_s(start_c)
    k = body.relaxation_per_s
    if k <= _NEGLIGIBLE_RATE:
        return start_c + rate * duration_s
    return start_c - rate * math.expm1(-k * duration_s) / k


def time_to_reach_s(body: LumpedBody, *, start_c: float, target_c: float) -> float | None:
    """Return the time until the water reaches `target_c`, or None when it never does. [s].

    The temperature runs monotonically towards its equilibrium, so a target that lies beyond it
    (or the other way) is never reached: a chiller too small for the tub, for example.

    Parameters
    ----------
    body
        The water and what surrounds it.
    start_c, target_c
        Temperatures. [°C], -2..60

    Raises
    ------
    OutOfRangeError
        If a temperature lies outside -2..60 °C.

    References
    ----------
    Lumped-capacity method (e.g. Incropera & DeWitt, ch. 5), solved for the time.
    """
    require("start_c", start_c, -2.0, 60.0)
    require("target_c", target_c, -2.0, 60.0)
    need = target_c - start_c
    if need == 0.0:
        return 0.0
    rate = body.rate_k_s(start_c)
    if rate * need <= 0.0:
        return None
    k = body.relaxation_per_s
    if k <= _NEGLIGIBLE_RATE:
        return need / rate
    share = k * need / rate
    if share >= 1.0:
        return None
    return -math.log1p(-share) / k


class Holding(StrEnum):
    """How a thermostat fares under constant conditions."""

    CYCLES = "cycles"
    IDLE = "idle"  # the water stays cold by itself
    CANNOT_HOLD = "cannot_hold"  # the compressor runs without end and the set point is missed


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """One thermostat cycle. Times in [s], energy in [kWh]; zero or endless where it idles."""

    holding: Holding
    on_s: float
    off_s: float
    duty: float
    starts_per_day: float
    compressor_kwh_per_day: float

    @property
    def run_h_per_day(self) -> float:
        """Hours per day with the compressor on. [h]."""
        return 24.0 * self.duty


def thermostat_cycle(
    body: LumpedBody, *, set_point_c: float, half_band_k: float, electric_w: float
) -> Cycle:
    """Return the steady cycle of a thermostat between set point minus and plus `half_band_k`.

    Parameters
    ----------
    body
        The water with the cooling on.
    set_point_c
        Middle of the band. [°C], 1..30
    half_band_k
        Half of the switching difference. [K], 0.05..5
    electric_w
        Power drawn while the compressor runs, fan included. [W], 0..20000

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range.

    References
    ----------
    Own derivation from the lumped-capacity method.
    """
    require("set_point_c", set_point_c, 1.0, 30.0)
    require("half_band_k", half_band_k, 0.05, 5.0)
    require("electric_w", electric_w, 0.0, 20000.0)
    low, high = set_point_c - half_band_k, set_point_c + half_band_k
    off_s = time_to_reach_s(body.idle(), start_c=low, target_c=high)
    if off_s is None:
        return _steady(Holding.IDLE, duty=0.0, electric_w=electric_w)
    on_s = time_to_reach_s(body, start_c=high, target_c=low)
    if on_s is None:
        return _steady(Holding.CANNOT_HOLD, duty=1.0, electric_w=electric_w)
    duty = on_s / (on_s + off_s)
    return Cycle(
        holding=Holding.CYCLES,
        on_s=on_s,
        off_s=off_s,
        duty=duty,
        starts_per_day=SECONDS_PER_DAY / (on_s + off_s),
        compressor_kwh_per_day=duty * electric_w * 0.024,
    )


def _steady(holding: Holding, *, duty: float, electric_w: float) -> Cycle:
    endless = math.inf
    return Cycle(
        holding=holding,
        on_s=endless if duty else 0.0,
        off_s=0.0 if duty else endless,
        duty=duty,
        starts_per_day=0.0,
        compressor_kwh_per_day=duty * electric_w * 0.024,
    )
