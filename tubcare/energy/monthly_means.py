"""A typical year drawn up from twelve monthly means, by a stated method.

The daily mean runs in straight lines between the middles of the months, with node values set so
that each month's mean comes out as typed. Over the day it swings as a cosine, coldest at 03:00 and
warmest at 15:00 local standard time. Sunshine follows a clear sky, scaled to the typed daily sums,
or to a usual share of a clear sky when only the latitude is known. Weather from day to day is not
drawn: for frost dates and for single hot or cold days such a year says nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.ranges import require
from tubcare.energy.sun import USUAL_CLEAR_SHARE, clear_sky_w_m2
from tubcare.energy.weather import HOURS_OF_YEAR, TypicalYear, Weather
from tubcare.energy.weather_kind import WeatherKind
from tubcare.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Values = NDArray[np.float64]

_DAYS_OF_MONTH = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
_COLDEST_HOUR = 3.0
_ROUNDS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthlyMeans:
    """What a person types in, January first.

    Parameters
    ----------
    air_c
        Mean air temperature of each month. [°C], -60..50
    swing_k
        Half of the daily range of each month. [K], 0..15
    sun_kwh_m2_day
        Global sunshine of a mean day of each month, or None. [kWh m⁻² d⁻¹], 0..12
    latitude_deg
        For the course of the sun; None leaves the sun out. [°], -90..90

    Raises
    ------
    InputError
        If a list does not hold twelve values, or sums of sun come without a latitude.
    OutOfRangeError
        If a value lies outside its range.
    """

    air_c: tuple[float, ...]
    swing_k: tuple[float, ...] = (4.0,) * 12
    sun_kwh_m2_day: tuple[float, ...] | None = None
    latitude_deg: float | None = None

    def __post_init__(self) -> None:
        for name, values, low, high in (
            ("air_c", self.air_c, -60.0, 50.0),
            ("swing_k", self.swing_k, 0.0, 15.0),
            ("sun_kwh_m2_day", self.sun_kwh_m2_day or (0.0,) * 12, 0.0, 12.0),
        ):
            if len(values) != 12:
                raise InputError(name, f"needs twelve values, January first; got {len(values)}")
            for value in values:
                require(name, value, low, high)
        if self.latitude_deg is not None:
            require("latitude_deg", self.latitude_deg, -90.0, 90.0)
        elif self.sun_kwh_m2_day is not None:
            raise InputError("latitude_deg", "is needed to spread the sun over the day")


def typical_year(means: MonthlyMeans, *, standard_offset_s: int = 0) -> TypicalYear:
    """Return 8760 hours drawn up from monthly means; see the module for the method.

    Parameters
    ----------
    means
        Temperatures [°C], -60..50; sun [kWh m⁻² d⁻¹], 0..12.
    standard_offset_s
        Local standard time ahead of UTC. [s], -50400..50400

    Raises
    ------
    InputError
        If a mean cannot be right; raised by `MonthlyMeans` itself.

    References
    ----------
    Own method, stated at the head; sun: see `clear_sky_w_m2`.
    """
    swing = np.repeat(np.array(means.swing_k), _DAYS_OF_MONTH * 24)
    middles = np.arange(HOURS_OF_YEAR, dtype=np.float64) + 0.5
    day_course = -np.cos(2.0 * np.pi * (middles % 24.0 - _COLDEST_HOUR) / 24.0)
    return TypicalYear(
        weather=Weather(
            air_c=_preserving(np.array(means.air_c), middles) + swing * day_course,
            sun_w_m2=_sun(means, middles),
            kind=WeatherKind.MONTHLY_MEANS,
        ),
        standard_offset_s=standard_offset_s,
    )


def _preserving(monthly: Values, middles: Values) -> Values:
    """Return straight lines between mid-month nodes, with the months' means kept."""
    edges = np.concatenate(([0], np.cumsum(_DAYS_OF_MONTH * 24)))
    centres = (edges[:-1] + edges[1:]) / 2.0
    nodes = monthly.copy()
    course = monthly
    for _ in range(_ROUNDS):
        course = np.interp(middles, centres, nodes, period=HOURS_OF_YEAR)
        nodes = nodes + monthly - np.add.reduceat(course, edges[:-1]) / np.diff(edges)
    return np.interp(middles, centres, nodes, period=HOURS_OF_YEAR)


def _sun(means: MonthlyMeans, middles: Values) -> Values:
    if means.latitude_deg is None:
        return np.zeros(HOURS_OF_YEAR)
    clear = np.array(
        [
            clear_sky_w_m2(
                latitude_deg=means.latitude_deg,
                day_of_year=int(middle // 24) + 1,
                solar_hour=middle % 24.0,
            )
            for middle in middles.tolist()
        ]
    )
    if means.sun_kwh_m2_day is None:
        return USUAL_CLEAR_SHARE * clear
    starts = np.concatenate(([0], np.cumsum(_DAYS_OF_MONTH * 24)[:-1]))
    sums = np.add.reduceat(clear, starts) / 1000.0
    wanted = np.array(means.sun_kwh_m2_day) * _DAYS_OF_MONTH
    scale = np.divide(wanted, sums, out=np.zeros(12), where=sums > 0.0)
    scaled: Values = np.minimum(clear * np.repeat(scale, _DAYS_OF_MONTH * 24), 1500.0)
    return scaled
