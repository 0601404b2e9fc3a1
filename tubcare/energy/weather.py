"""Weather for a run of hours, and a typical year from which it can be taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.ranges import require
from tubcare.energy.weather_kind import WeatherKind
from tubcare.errors import InputError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tubcare.energy.hours import HourRange

    Hours = NDArray[np.float64]

HOURS_OF_YEAR = 8760
_DAYS_BEFORE_MONTH = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """Weather of each hour; float64 arrays of shape (hours,), NaN where it is not known.

    Parameters
    ----------
    air_c
        Air temperature. [°C]
    sun_w_m2
        Global horizontal sunshine. [W m⁻²]
    wind_m_s
        Wind at the tub. [m s⁻¹], or None when not known
    humidity
        Relative humidity. [-], 0..1, or None when not known
    kind
        Where it comes from.
    """

    air_c: Hours
    sun_w_m2: Hours
    wind_m_s: Hours | None = None
    humidity: Hours | None = None
    kind: WeatherKind = WeatherKind.MEASURED

    def __post_init__(self) -> None:
        _require_known("air_c", self.air_c, -60.0, 60.0)
        _require_known("sun_w_m2", self.sun_w_m2, 0.0, 1500.0)
        if self.wind_m_s is not None:
            _require_known("wind_m_s", self.wind_m_s, 0.0, 60.0)
        if self.humidity is not None:
            _require_known("humidity", self.humidity, 0.0, 1.0)
        for values in (self.sun_w_m2, self.wind_m_s, self.humidity):
            if values is not None and values.shape != self.air_c.shape:
                raise InputError("weather", "all columns need the same number of hours")

    @property
    def hours(self) -> int:
        """How many hours it covers. [h]."""
        return int(self.air_c.size)

    def part(self, first: int, stop: int) -> Weather:
        """Return the hours `first` up to but not including `stop`."""
        return self._picked(slice(first, stop))

    def _picked(self, where: slice | NDArray[np.int64]) -> Weather:
        return Weather(
            air_c=self.air_c[where],
            sun_w_m2=self.sun_w_m2[where],
            wind_m_s=None if self.wind_m_s is None else self.wind_m_s[where],
            humidity=None if self.humidity is None else self.humidity[where],
            kind=self.kind,
        )

    @property
    def missing(self) -> int:
        """How many hours have no air temperature. [h]."""
        return int(np.isnan(self.air_c).sum())


def _require_known(name: str, values: Hours, low: float, high: float) -> None:
    known = values[~np.isnan(values)]
    if known.size:
        require(name, float(known.min()), low, high)
        require(name, float(known.max()), low, high)


@dataclass(frozen=True, slots=True, kw_only=True)
class TypicalYear:
    """8760 hours of a year without a leap day, in local standard time from 1 January 00:00.

    29 February takes the weather of the 28th. In summer time an hour keeps its standard-time
    weather, as the sun does.

    Raises
    ------
    InputError
        If it does not have 8760 hours.
    """

    weather: Weather
    standard_offset_s: int = 0

    def __post_init__(self) -> None:
        require("standard_offset_s", self.standard_offset_s, -50400, 50400)
        if self.weather.hours != HOURS_OF_YEAR:
            raise InputError(
                "weather", f"has {self.weather.hours} hours; a year has {HOURS_OF_YEAR}"
            )

    def for_hours(self, hours: HourRange) -> Weather:
        """Return the weather of this typical year for the hours of a real one."""
        start_s = int(hours.start.timestamp()) + self.standard_offset_s
        standard = start_s + 3600 * np.arange(hours.count)
        stamp = standard.astype("datetime64[s]")
        days = stamp.astype("datetime64[D]")
        months = stamp.astype("datetime64[M]")
        month = months.astype(np.int64) % 12
        day = (days - months.astype("datetime64[D]")).astype(np.int64)
        before = np.array(_DAYS_BEFORE_MONTH, dtype=np.int64)[month]
        day = np.where((month == 1) & (day == 28), 27, day)
        where = (before + day) * 24 + standard // 3600 % 24
        return self.weather._picked(where)  # noqa: SLF001  the same module


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Hours in a row without an air temperature."""

    first: int
    hours: int


def gaps(weather: Weather) -> tuple[Gap, ...]:
    """Return the stretches without an air temperature.

    Raises nothing; lengths are [h].

    Parameters
    ----------
    weather
        May hold NaN. [°C], -60..60

    References
    ----------
    Own definition.
    """
    edges = np.diff(np.concatenate(([0], np.isnan(weather.air_c).astype(np.int8), [0])))
    begins, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    return tuple(Gap(first=int(a), hours=int(b - a)) for a, b in zip(begins, ends, strict=True))


def filled(weather: Weather, *, longest_h: int = 6) -> Weather:
    """Return the weather with short gaps bridged by straight lines.

    Parameters
    ----------
    weather
        May hold NaN.
    longest_h
        Longest gap that is bridged. [h], 0..48

    Raises
    ------
    InputError
        If a gap is longer, or at one of the ends.
    OutOfRangeError
        If `longest_h` lies outside its range.

    References
    ----------
    Straight lines between readings: own choice for gaps of hours.
    """
    require("longest_h", longest_h, 0, 48)
    for gap in gaps(weather):
        at_end = gap.first == 0 or gap.first + gap.hours == weather.hours
        if gap.hours > longest_h or at_end:
            raise InputError(
                "weather",
                f"{gap.hours} hours are missing from hour {gap.first} on; too long to fill",
            )
    return Weather(
        air_c=_bridged(weather.air_c),
        sun_w_m2=_bridged(weather.sun_w_m2),
        wind_m_s=_bridged_or_unknown(weather.wind_m_s),
        humidity=_bridged_or_unknown(weather.humidity),
        kind=weather.kind,
    )


def _bridged_or_unknown(values: Hours | None) -> Hours | None:
    """Return a column without gaps; None for one without a single reading: calm is no guess."""
    return None if values is None or np.isnan(values).all() else _bridged(values)


def _bridged(values: Hours) -> Hours:
    known = ~np.isnan(values)
    if known.all() or not known.any():
        return np.where(known, values, 0.0)
    at = np.arange(values.size)
    return np.interp(at, at[known], values[known])
