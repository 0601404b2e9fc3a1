"""The cold of the demo, an island with late frost: made-up winters and monthly means."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.energy.frost_plan import FrostChoices
from tubcare.energy.monthly_means import MonthlyMeans
from tubcare.services.demo_days import PUMP_HOURS_A_DAY
from tubcare.services.frost import choose_frost
from tubcare.services.frost_import import import_minima
from tubcare.services.power_build import read_build
from tubcare.services.power_change import change_build
from tubcare.services.power_weather import type_monthly_means

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

SEED = 11
WINTERS = 22
LATITUDE_DEG = 59.8
MEANS_C = (-1.0, -1.9, -0.5, 3.0, 7.9, 12.8, 16.0, 16.2, 13.9, 10.2, 6.2, 2.2)
_DAYS_A_YEAR = 365.25


def add_cold(desk: Desk, tub: TubId, first: date) -> None:
    """Give a demo tub its weather; `first` is the day on which its history begins."""
    means = MonthlyMeans(air_c=MEANS_C, latitude_deg=LATITUDE_DEG)
    type_monthly_means(desk, tub, means)
    import_minima(desk, tub, _minima(first.year - WINTERS), source="Island station, made up")
    choose_frost(desk, tub, FrostChoices(lead_days=3))
    with desk.read() as connection:
        described = read_build(connection, tub).described
    change_build(desk, tub, replace(described, pump_hours_per_day=PUMP_HOURS_A_DAY))


def _minima(first_year: int) -> str:
    """Return made-up daily minima, July to July: a yearly wave with wandering weather."""
    chance = random.Random(SEED)  # noqa: S311  invented weather, not a secret
    day, weather = date(first_year, 7, 1), 0.0
    lines = ["date,tmin (C)"]
    while day < date(first_year + WINTERS, 7, 1):
        weather = 0.8 * weather + chance.gauss(0.0, 1.4)
        wave = math.cos(2 * math.pi * (day.timetuple().tm_yday - 224) / _DAYS_A_YEAR)
        lines.append(f"{day.isoformat()},{4.8 + 8.8 * wave + weather:.1f}")
        day += timedelta(days=1)
    return "\n".join(lines)
