"""A tub's profile as it is stored, and whether it can be right."""

from __future__ import annotations

from dataclasses import fields as columns
from typing import Any

from tubcare.errors import InputError
from tubcare.services.fields import quantity
from tubcare.values import (
    Cladding,
    FilterKind,
    LidKind,
    Liner,
    MonthDay,
    Sanitiser,
    Shape,
    TubProfile,
)

_ENUMS: dict[str, type[Shape | Liner | Cladding | Sanitiser | FilterKind | LidKind]] = {
    "shape": Shape,
    "liner": Liner,
    "cladding": Cladding,
    "sanitiser": Sanitiser,
    "filter_kind": FilterKind,
    "lid": LidKind,
}
_DAYS = ("season_opens", "season_closes")
_BOUNDS = {
    "volume_l": (20.0, 20_000.0),
    "length_m": (0.3, 10.0),
    "width_m": (0.3, 10.0),
    "depth_m": (0.2, 3.0),
    "chiller_w": (0.0, 20_000.0),
    "pump_w": (0.0, 5_000.0),
    "latitude_deg": (-90.0, 90.0),
    "set_point_c": (0.0, 40.0),
    "people": (1, 500),
}


def profile_to_data(profile: TubProfile) -> dict[str, Any]:
    """Return the profile as plain data for JSON."""
    data: dict[str, Any] = {}
    for column in columns(profile):
        value = getattr(profile, column.name)
        data[column.name] = [value.month, value.day] if isinstance(value, MonthDay) else value
    return data


def profile_from_data(data: dict[str, Any]) -> TubProfile:
    """Return the profile that `profile_to_data` wrote; unknown fields are left out."""
    known = {column.name for column in columns(TubProfile)}
    values = {name: value for name, value in data.items() if name in known}
    for name, kind in _ENUMS.items():
        if name in values:
            values[name] = kind(values[name])
    for name in _DAYS:
        if name in values:
            month, day = values[name]
            values[name] = MonthDay(month=month, day=day)
    return TubProfile(**values)


def checked_profile(profile: TubProfile) -> TubProfile:
    """Return the profile; raise when a part of it cannot be right.

    Raises
    ------
    OutOfRangeError
        For a number outside any real tub's range, naming it.
    InputError
        For a season that opens and closes on the same day, or a day that no year has.
    """
    for name, (low, high) in _BOUNDS.items():
        value = getattr(profile, name)
        if value is not None:
            quantity(name, value, low, high)
    for name in _DAYS:
        day = getattr(profile, name)
        if not 1 <= day.month <= 12 or not 1 <= day.day <= _longest(day.month):
            raise InputError(name, f"there is no day {day.day} in month {day.month}")
    if profile.season_opens == profile.season_closes:
        raise InputError("season", "opening and closing cannot fall on the same day")
    return profile


def _longest(month: int) -> int:
    if month == 2:
        return 29
    return 30 if month in {4, 6, 9, 11} else 31
