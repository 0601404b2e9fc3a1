"""Weather by the hour as the logbook keeps it, and put together for any run of hours."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import numpy as np

from tubcare.energy.hours import HourRange
from tubcare.energy.monthly_means import MonthlyMeans, typical_year
from tubcare.energy.weather import TypicalYear, Weather
from tubcare.energy.weather_kind import WeatherKind
from tubcare.services.weather_store import (
    KeptWeather,
    Purpose,
    figures_as_text,
    figures_from_text,
    kept_weather,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray
    from sqlalchemy import Connection

    from tubcare.services.power_build import TubBuild
    from tubcare.values import TubProfile

    Hours = NDArray[np.float64]

_COLUMNS = ("air_c", "sun_w_m2", "wind_m_s", "humidity")
_LONGEST_BRIDGE_H = 6
_WINTER = datetime(2025, 1, 15, tzinfo=UTC)
_SUMMER = datetime(2025, 7, 15, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Hours as measured, NaN where none was."""

    hours: HourRange
    weather: Weather


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteWeather:
    """What is known about the weather at a tub.

    Either may be None; without both nothing can be modelled.
    """

    zone: ZoneInfo
    measured: Measured | None
    typical: TypicalYear | None

    @property
    def known(self) -> bool:
        """Whether anything is known."""
        return self.measured is not None or self.typical is not None

    def for_hours(self, hours: HourRange) -> tuple[Weather, int]:
        """Return weather for the hours, and how many of them come from the typical year.

        Gaps of up to six hours between measured ones are bridged by straight lines. What is
        neither measured nor typical stays NaN.
        """
        columns = None if self.measured is None else _placed(self.measured, hours)
        if columns is None:
            if self.typical is not None:
                return self.typical.for_hours(hours), hours.count
            return _unknown(hours.count), 0
        missing = _long_gaps(columns["air_c"])
        for values in columns.values():
            _bridge(values, missing)
        if self.typical is not None and missing.any():
            _fill(columns, self.typical.for_hours(hours), missing)
        weather = Weather(
            air_c=columns["air_c"],
            sun_w_m2=np.nan_to_num(columns["sun_w_m2"]),
            wind_m_s=columns.get("wind_m_s"),
            humidity=columns.get("humidity"),
            kind=WeatherKind.MEASURED,
        )
        return weather, 0 if self.typical is None else int(missing.sum())


def standard_offset_s(zone: ZoneInfo) -> int:
    """Return the offset of standard time from UTC, summer time left out. [s]."""
    offsets = [at.astimezone(zone).utcoffset() for at in (_WINTER, _SUMMER)]
    return min(int(offset.total_seconds()) for offset in offsets if offset is not None)


def weather_as_content(weather: Weather, *, start: datetime | None) -> dict[str, Any]:
    """Return hours as kept; `start` None for the 8760 hours of a typical year."""
    content: dict[str, Any] = {"start": None if start is None else start.isoformat()}
    for name in _COLUMNS:
        values: Hours | None = getattr(weather, name)
        if values is not None:
            content[name] = figures_as_text(values.tolist())
    return content


def means_as_content(means: MonthlyMeans) -> dict[str, Any]:
    """Return monthly means as kept."""
    return {
        "monthly_c": list(means.air_c),
        "swing_k": list(means.swing_k),
        "latitude_deg": means.latitude_deg,
    }


def means_of(kept: KeptWeather) -> MonthlyMeans:
    """Return the monthly means of a kept series."""
    return MonthlyMeans(
        air_c=tuple(kept.content["monthly_c"]),
        swing_k=tuple(kept.content["swing_k"]),
        latitude_deg=kept.content["latitude_deg"],
    )


def site_weather(connection: Connection, build: TubBuild) -> SiteWeather:
    """Return what is known about the weather at a tub.

    Monthly means that were typed before the tub's latitude was known take the one known now.
    """
    tub, zone = build.place.id, ZoneInfo(build.place.zone)
    measured = kept_weather(connection, tub, Purpose.POWER)
    typical = kept_weather(connection, tub, Purpose.TYPICAL)
    return SiteWeather(
        zone=zone,
        measured=None if measured is None else _measured(measured, zone),
        typical=None if typical is None else _typical_year(typical, zone, build.profile),
    )


def _measured(kept: KeptWeather, zone: ZoneInfo) -> Measured:
    weather = _weather(kept)
    start = datetime.fromisoformat(str(kept.content["start"]))
    return Measured(hours=HourRange(start=start, count=weather.hours, zone=zone), weather=weather)


def _typical_year(kept: KeptWeather, zone: ZoneInfo, profile: TubProfile) -> TypicalYear:
    offset_s = standard_offset_s(zone)
    if kept.kind is WeatherKind.MONTHLY_MEANS:
        means = means_of(kept)
        if means.latitude_deg is None:
            means = replace(means, latitude_deg=profile.latitude_deg)
        return typical_year(means, standard_offset_s=offset_s)
    return TypicalYear(weather=_weather(kept), standard_offset_s=offset_s)


def _weather(kept: KeptWeather) -> Weather:
    columns = {
        name: np.array(figures_from_text(str(kept.content[name])), dtype=np.float64)
        for name in _COLUMNS
        if name in kept.content
    }
    return Weather(
        air_c=columns["air_c"],
        sun_w_m2=np.nan_to_num(columns["sun_w_m2"]),
        wind_m_s=columns.get("wind_m_s"),
        humidity=columns.get("humidity"),
        kind=kept.kind,
    )


def _placed(measured: Measured, hours: HourRange) -> dict[str, Hours] | None:
    """Return the measured columns on the wanted hours, NaN outside; None without overlap."""
    shift = int((hours.start - measured.hours.start).total_seconds()) // 3600
    first, stop = max(0, -shift), min(hours.count, measured.hours.count - shift)
    if first >= stop:
        return None
    found: dict[str, Hours] = {}
    for name in _COLUMNS:
        values: Hours | None = getattr(measured.weather, name)
        if values is not None:
            found[name] = np.full(hours.count, np.nan)
            found[name][first:stop] = values[first + shift : stop + shift]
    return found


def _long_gaps(air_c: Hours) -> NDArray[np.bool_]:
    """Return the hours in gaps too long to bridge, or at one of the ends."""
    unknown = np.isnan(air_c)
    edges = np.diff(np.concatenate(([0], unknown.astype(np.int8), [0])))
    long = np.zeros(air_c.size, dtype=np.bool_)
    for begin, end in zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1), strict=True):
        at_end = begin == 0 or end == air_c.size
        long[begin:end] = at_end or end - begin > _LONGEST_BRIDGE_H
    return long


def _bridge(values: Hours, missing: NDArray[np.bool_]) -> None:
    """Bridge what is unknown by straight lines, but leave long gaps unknown."""
    known = np.flatnonzero(~np.isnan(values))
    if known.size:
        gaps = np.isnan(values) & ~missing
        values[gaps] = np.interp(np.flatnonzero(gaps), known, values[known])
    values[missing] = np.nan


def _unknown(count: int) -> Weather:
    return Weather(air_c=np.full(count, np.nan), sun_w_m2=np.zeros(count))


def _fill(columns: dict[str, Hours], usual: Weather, where: NDArray[np.bool_]) -> None:
    for name, values in columns.items():
        other: Hours | None = getattr(usual, name)
        if other is None:
            # The typical year does not tell it: the mean of what was measured stands in.
            known = values[~np.isnan(values)]
            values[where] = float(known.mean()) if known.size else 0.0
        else:
            values[where] = other[where]
