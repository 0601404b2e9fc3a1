"""The cold of the demo: made-up winters and monthly means, and what the club chose."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.energy.frost_plan import FrostChoices
from tubcare.energy.monthly_means import MonthlyMeans
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
LATITUDE_DEG = 61.5
MEANS_C = (-6.5, -6.8, -2.4, 3.4, 9.8, 14.3, 16.9, 15.1, 10.0, 4.4, -0.6, -4.4)
_DAYS_A_YEAR = 365.25


def add_cold(desk: Desk, tub: TubId, first: date) -> None:
    """Give a demo tub its weather; `first` is the day on which its history begins."""
    means = MonthlyMeans(air_c=MEANS_C, latitude_deg=LATITUDE_DEG)
    type_monthly_means(desk, tub, means)
    import_minima(desk, tub, _minima(first.year - WINTERS), source="Lake station, made up")
    # They dip well into winter, so their hard level is a low one.
    choose_frost(desk, tub, FrostChoices(dry_level_c=-11.0, lead_days=3))
    with desk.read() as connection:
        described = read_build(connection, tub).described
    change_build(desk, tub, replace(described, wall="wood_40", lid="thin_cover"))


def _minima(first_year: int) -> str:
    """Return made-up daily minima, July to July: a yearly wave with wandering weather."""
    chance = random.Random(SEED)  # noqa: S311  invented weather, not a secret
    day, weather = date(first_year, 7, 1), 0.0
    lines = ["date,tmin (C)"]
    while day < date(first_year + WINTERS, 7, 1):
        weather = 0.8 * weather + chance.gauss(0.0, 2.2)
        wave = math.cos(2 * math.pi * (day.timetuple().tm_yday - 200) / _DAYS_A_YEAR)
        lines.append(f"{day.isoformat()},{4.5 + 9.5 * wave + weather:.1f}")
        day += timedelta(days=1)
    return "\n".join(lines)
