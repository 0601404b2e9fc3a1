"""Turns an imported table into weather by the hour."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.hours import HourRange
from tubcare.energy.row_spacing import Resolution
from tubcare.energy.weather import HOURS_OF_YEAR, TypicalYear, Weather
from tubcare.energy.weather_columns import Quantity
from tubcare.energy.weather_kind import WeatherKind
from tubcare.errors import InputError

if TYPE_CHECKING:
    from datetime import tzinfo
    from zoneinfo import ZoneInfo

    from numpy.typing import NDArray

    from tubcare.energy.weather_table import WeatherTable

    Hours = NDArray[np.float64]

_DAYS_BEFORE_MONTH = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)
_COLDEST_HOUR = 3.0
_MOST_GAPS_SHARE = 0.5


def hourly_weather(
    table: WeatherTable, *, clock: tzinfo, zone: ZoneInfo
) -> tuple[HourRange, Weather]:
    """Return the hours that `table` spans and their weather, NaN where it has none.

    Daily rows become hours by a cosine through the day's lowest and highest temperature, coldest
    at 03:00 on the file's clock; their sun, wind and humidity hold all day.

    Parameters
    ----------
    table
        As read.
    clock
        The file's clock: UTC, a fixed offset, or a place with summer time; where stamps tell their
        own offset, that one holds.
    zone
        Where the tub stands.

    Raises
    ------
    InputError
        If more than half of the hours are missing.

    References
    ----------
    Own method for days: a cosine through both extremes.
    """
    hourly = table.resolution is Resolution.HOURLY
    step = timedelta(hours=1 if hourly else 24)
    clock = table.clock or clock
    instants = [_instant(start, clock, number, table) for number, start in enumerate(table.starts)]
    first = min(instants).replace(minute=0, second=0, microsecond=0)
    last = max(instants) + step
    count = int((last - first).total_seconds()) // 3600
    hours = HourRange(start=first, count=count, zone=zone)
    at = np.array([int((instant - first).total_seconds()) // 3600 for instant in instants])
    columns = {quantity: np.array(values) for quantity, values in table.readings.items()}
    width = 1 if hourly else 24
    air = _air(columns, daily=not hourly)
    spread = {
        quantity: _placed(np.repeat(columns[quantity], width), at, width, count)
        for quantity in (Quantity.SUN, Quantity.WIND, Quantity.HUMIDITY)
        if quantity in columns
    }
    weather = Weather(
        air_c=_placed(air, at, width, count),
        sun_w_m2=np.nan_to_num(spread.get(Quantity.SUN, np.zeros(count))),
        wind_m_s=spread.get(Quantity.WIND),
        humidity=spread.get(Quantity.HUMIDITY),
        kind=WeatherKind.MEASURED,
    )
    if weather.missing > _MOST_GAPS_SHARE * count:
        raise InputError("weather", f"{weather.missing} of {count} hours are missing")
    return hours, weather


def typical_year_of(table: WeatherTable, *, standard_offset_s: int) -> TypicalYear:
    """Return the typical year in `table`: hourly rows for each hour of a year of 365 days.

    Parameters
    ----------
    table
        As read; temperatures in [°C], -60..60.
    standard_offset_s
        Local standard time ahead of UTC. [s], -50400..50400

    Raises
    ------
    InputError
        If an hour of the year is missing or the rows are not hourly.

    References
    ----------
    Own definition; files such as TMY and IWEC have 8760 hours in local standard time.
    """
    if table.resolution is not Resolution.HOURLY:
        raise InputError("weather", "a typical year needs hourly rows")
    row_of_hour = np.full(HOURS_OF_YEAR, -1)
    for row, start in enumerate(table.starts):
        if (start.month, start.day) != (2, 29):
            day = _DAYS_BEFORE_MONTH[start.month - 1] + start.day - 1
            row_of_hour[day * 24 + start.hour] = row
    absent = int((row_of_hour < 0).sum())
    if absent:
        raise InputError("weather", f"{absent} hours of the year are missing")
    columns = {q: np.array(values)[row_of_hour] for q, values in table.readings.items()}
    return TypicalYear(
        weather=Weather(
            air_c=_hourly_air(columns),
            sun_w_m2=np.nan_to_num(columns.get(Quantity.SUN, np.zeros(HOURS_OF_YEAR))),
            wind_m_s=columns.get(Quantity.WIND),
            humidity=columns.get(Quantity.HUMIDITY),
            kind=WeatherKind.TYPICAL_YEAR,
        ),
        standard_offset_s=standard_offset_s,
    )


def _instant(start: datetime, clock: tzinfo, number: int, table: WeatherTable) -> datetime:
    """Return the instant of a row; of an hour that occurs twice the second row is the later."""
    again = number > 0 and table.starts[number - 1] == start
    return start.replace(tzinfo=clock, fold=int(again)).astimezone(UTC)


def _air(columns: dict[Quantity, Hours], *, daily: bool) -> Hours:
    if not daily:
        return _hourly_air(columns)
    if Quantity.LOWEST not in columns or Quantity.HIGHEST not in columns:
        raise InputError("weather", "daily rows need the lowest and the highest temperature")
    lowest, highest = columns[Quantity.LOWEST], columns[Quantity.HIGHEST]
    course = -np.cos(2.0 * np.pi * (np.arange(24) + 0.5 - _COLDEST_HOUR) / 24.0)
    middle, half = (lowest + highest) / 2.0, (highest - lowest) / 2.0
    hours: Hours = (middle[:, None] + half[:, None] * course).ravel()
    return hours


def _hourly_air(columns: dict[Quantity, Hours]) -> Hours:
    if Quantity.AIR not in columns:
        raise InputError("weather", "hourly rows need an air temperature")
    return columns[Quantity.AIR]


def _placed(values: Hours, at: NDArray[np.int64], width: int, count: int) -> Hours:
    """Put rows of `width` hours where they belong; a row read twice keeps its last value."""
    placed = np.full(count, np.nan)
    where = (at[:, None] + np.arange(width)).ravel()
    inside = (where >= 0) & (where < count)
    placed[where[inside]] = values[inside]
    return placed
