"""Builds tubs, hours and weather for the tests."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

import numpy as np

from tubcare.energy.chiller import Chiller, Evaporator
from tubcare.energy.energy_price import FlatPrice
from tubcare.energy.envelope import Envelope
from tubcare.energy.hourly_load import Thermostat
from tubcare.energy.hours import HourRange, hours_of_days
from tubcare.energy.monthly_means import MonthlyMeans, typical_year
from tubcare.energy.tariff import Tariff
from tubcare.energy.tub import Pump, Tub, Use
from tubcare.energy.weather import TypicalYear, Weather

HELSINKI = ZoneInfo("Europe/Helsinki")
SEASON = (date(2025, 4, 1), date(2025, 10, 31))
_LID_SHARE, _LID_M2, _FILM = 0.25, 1.05, 1.0 / 17.0


def make_tub(
    *,
    ua_w_k: float = 4.2,
    pump_w: float = 40.0,
    carnot_share: float = 0.42,
    cooling_w: float = 900.0,
    set_point_c: float = 4.0,
) -> Tub:
    """Return a tub of 400 L with the leak given, lid on, and no dips."""
    return Tub(
        volume_l=400.0,
        envelope=Envelope(
            body_ua_w_k=ua_w_k * (1.0 - _LID_SHARE),
            lid_m2=_LID_M2,
            lid_resistance_m2k_w=_LID_M2 / (ua_w_k * _LID_SHARE) - _FILM if ua_w_k else 20.0,
        ),
        chiller=Chiller(
            evaporator=Evaporator.WALL_COIL, cooling_w=cooling_w, carnot_share=carnot_share
        ),
        thermostat=Thermostat(set_point_c=set_point_c),
        pump=Pump(power_w=pump_w),
        use=Use(dips_per_day=0.0),
    )


def make_weather(air_c: list[float], sun_w_m2: float = 0.0) -> Weather:
    """Return weather with the air given by the hour."""
    air = np.array(air_c, dtype=np.float64)
    return Weather(air_c=air, sun_w_m2=np.full(air.size, sun_w_m2))


def make_hours(count: int) -> HourRange:
    """Return hours from 1 June 2025 on."""
    return hours_of_days(date(2025, 6, 1), date(2026, 6, 1), HELSINKI).part(0, count)


def nordic_year() -> TypicalYear:
    """Return a year drawn up from monthly means of Helsinki (typical year, 60.3 N)."""
    means = MonthlyMeans(
        air_c=(-3.9, -5.7, -1.0, 3.7, 9.9, 14.0, 16.7, 15.8, 10.2, 5.9, -1.3, -3.0),
        latitude_deg=60.3,
    )
    return typical_year(means, standard_offset_s=7200)


def flat_tariff(minor_kwh: int = 32) -> Tariff:
    """Return a tariff with one price."""
    return Tariff(energy=FlatPrice(price_minor_kwh=Decimal(minor_kwh)))
