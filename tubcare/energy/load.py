"""Puts tub and weather together: what acts on the water in each hour."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.chiller import Evaporator
from tubcare.energy.construction import outside_film
from tubcare.energy.hourly_load import HourlyLoad
from tubcare.energy.lid import EMISSIVITY, OUTSIDE_FILM_W_M2K, SKY_LOSS_W_M2, sol_air_c
from tubcare.energy.moist_air import exchange_w_m2_pa, saturation_pa, vapour_pa
from tubcare.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tubcare.energy.hours import HourRange
    from tubcare.energy.tub import Tub
    from tubcare.energy.weather import Weather

    Hours = NDArray[np.float64]

# Where the weather tells neither wind nor humidity: own choice for a garden.
ASSUMED_WIND_M_S = 1.0
ASSUMED_HUMIDITY = 0.75
# Open water takes up nearly all of the sun (from memory: 6 % is reflected at normal incidence).
WATER_ABSORPTANCE = 0.94
_WATER_EMISSIVITY = 0.96
_MOST_WIND_M_S = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Acting:
    """The load of each hour and, beside it, what the sums need later."""

    load: HourlyLoad
    pump_w: Hours
    held_off: NDArray[np.bool_]


def acting(tub: Tub, hours: HourRange, weather: Weather) -> Acting:
    """Return what acts on the water of `tub` in each hour.

    Parameters
    ----------
    tub
        What it is.
    hours
        Which hours.
    weather
        Of the same hours. Air [°C], -60..60; sun [W m⁻²], 0..1500; wind [m s⁻¹], 0..60

    Raises
    ------
    InputError
        If the weather does not cover the hours or has gaps.

    References
    ----------
    Walls: ISO 6946. Lid: sol-air temperature of ASHRAE Fundamentals, ch. 18. Open surface: Carrier
    1918, as in `exchange_w_m2_pa`. What is not told is assumed as stated at the head.
    """
    if weather.hours != hours.count:
        raise InputError("weather", f"covers {weather.hours} hours; {hours.count} are needed")
    if weather.missing:
        raise InputError("weather", f"{weather.missing} hours have no air temperature")
    clock = hours.local_hour
    pump_share = np.array(tub.pump.share_by_hour())[clock]
    pump_w = tub.pump.power_w * pump_share
    gain_w, slope_w_k = _through_lid(tub, weather)
    gain_w += tub.envelope.body_ua_w_k * weather.air_c + tub.pump.heat_share * pump_w
    slope_w_k += tub.envelope.body_ua_w_k
    _add_use(tub, weather, clock, (gain_w, slope_w_k))
    cooling_w, cooling_slope_w_k = tub.chiller.capacity_w(weather.air_c)
    held_off = np.zeros(hours.count, dtype=np.bool_)
    if tub.chiller.least_air_c is not None:
        held_off = weather.air_c < tub.chiller.least_air_c
    may_run = ~held_off & (not tub.resting)
    if tub.chiller.evaporator is Evaporator.FLOW_THROUGH:
        # Without flow it has to be off at once; an hour with flow in part is not counted on.
        may_run &= pump_share >= 1.0
    load = HourlyLoad(
        heat_capacity_j_k=tub.heat_capacity_j_k,
        gain_w=gain_w,
        slope_w_k=slope_w_k,
        cooling_w=cooling_w,
        cooling_slope_w_k=cooling_slope_w_k,
        may_run=may_run,
    )
    return Acting(load=load, pump_w=pump_w, held_off=held_off)


def _through_lid(tub: Tub, weather: Weather) -> tuple[Hours, Hours]:
    """Return gain into water at 0 °C and slope of the closed lid, by sol-air temperature."""
    film = np.full(weather.hours, OUTSIDE_FILM_W_M2K)
    if weather.wind_m_s is not None:
        told = ~np.isnan(weather.wind_m_s)
        wind = tub.wind_share * weather.wind_m_s[told]
        film[told] = outside_film(wind_m_s=wind, emissivity=EMISSIVITY).w_m2k
    # What shades from the sun also hides that share of the cold sky.
    open_share = 1.0 - tub.envelope.shading
    warm = sol_air_c(
        air_c=weather.air_c,
        sun_w_m2=weather.sun_w_m2,
        absorptance=tub.envelope.lid_absorptance * open_share,
        film_w_m2k=film,
        sky_loss_w_m2=EMISSIVITY * SKY_LOSS_W_M2 * open_share,
    )
    lid_ua = tub.envelope.lid_ua_w_k(film)
    return lid_ua * warm, lid_ua


def _add_use(
    tub: Tub, weather: Weather, clock: NDArray[np.int64], totals: tuple[Hours, Hours]
) -> None:
    """Add dips, and the open surface in place of the lid, to gain and slope."""
    gain_w, slope_w_k = totals
    if tub.use.dips_per_day <= 0.0:
        return
    # All hours with a dip alike; the sums below touch only them.
    open_share = np.array(tub.use.open_share_by_hour())
    dip_w = tub.use.dips_per_day * tub.use.dip_kj * 1000.0 / 3600.0
    gain_w[clock == tub.use.hour] += dip_w
    where = np.flatnonzero(open_share[clock] > 0.0)
    if not where.size or not tub.envelope.lid_m2:
        return
    share = open_share[clock[where]]
    lid_gain, lid_slope = _through_lid(tub, weather.part(0, weather.hours))
    open_gain, open_slope = _open_surface(tub, weather, where)
    gain_w[where] += share * (open_gain - lid_gain[where])
    slope_w_k[where] += share * (open_slope - lid_slope[where])


def _open_surface(tub: Tub, weather: Weather, where: NDArray[np.int64]) -> tuple[Hours, Hours]:
    """Return gain and slope of the uncovered water; the latent part keeps its sign.

    The vapour pressure over the water is taken as linear around the set point.
    """
    air_c, sun = weather.air_c[where], weather.sun_w_m2[where]
    wind = np.full(where.size, ASSUMED_WIND_M_S)
    if weather.wind_m_s is not None:
        told = np.minimum(tub.wind_share * weather.wind_m_s[where], _MOST_WIND_M_S)
        wind = np.where(np.isnan(told), ASSUMED_WIND_M_S, told)
    humidity = np.full(where.size, ASSUMED_HUMIDITY)
    if weather.humidity is not None:
        told = weather.humidity[where]
        humidity = np.where(np.isnan(told), ASSUMED_HUMIDITY, told)
    film = np.asarray(outside_film(wind_m_s=wind, emissivity=_WATER_EMISSIVITY).w_m2k)
    set_c = tub.thermostat.set_point_c
    at_set, above, below = (float(saturation_pa(set_c + d)) for d in (0.0, 0.05, -0.05))
    per_k = (above - below) / 0.1
    exchange = np.asarray(exchange_w_m2_pa(wind), dtype=np.float64)
    latent_at_zero = exchange * (at_set - per_k * set_c - vapour_pa(air_c, humidity))
    sunny = WATER_ABSORPTANCE * (1.0 - tub.envelope.shading) * sun
    area = tub.envelope.lid_m2
    return area * (film * air_c + sunny - latent_at_zero), area * (film + exchange * per_k)
