"""A tub's profile: whether it can be right, its litres from its dimensions, as plain data."""

from __future__ import annotations

import math
from dataclasses import fields as columns
from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.care import fields
from tubcare.errors import InputError, OutOfRangeError
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

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from enum import StrEnum

PROFILE_VERSION = 1

#: The closed range of each number, in the field's own unit: wider than any tub of this kind.
BOUNDS: Mapping[str, tuple[float, float]] = {
    "length_m": (0.3, 10.0),
    "width_m": (0.3, 10.0),
    "depth_m": (0.2, 3.0),
    "volume_l": (20.0, 20_000.0),
    "chiller_w": (0.0, 20_000.0),
    "pump_w": (0.0, 5_000.0),
    "latitude_deg": (-90.0, 90.0),
    "set_point_c": (0.0, 40.0),
    "people": (1, 500),
}
_WORDS: Mapping[str, type[StrEnum]] = {
    "shape": Shape,
    "liner": Liner,
    "cladding": Cladding,
    "sanitiser": Sanitiser,
    "filter_kind": FilterKind,
    "lid": LidKind,
}
_DAYS = ("season_opens", "season_closes")
_TEXTS = ("name", "zone")
_DAYS_OF_MONTH = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
# Walls slope, steps and a bench take room, and people measure the outside: a stated volume is
# believed as long as it is not plainly a slip of a digit.
_LEAST_SHARE, _LARGEST_SHARE = 0.2, 1.3
#: Frost is met outside the tropics and the warm coasts: 61 frost days at 36.1 degrees north in the
#: typical year of Greensboro (NREL TMY3, station 723170). 30 degrees is on the safe side.
FROST_FROM_LATITUDE_DEG = 30.0


def volume_from_shape(
    shape: Shape, *, length_m: float | None, width_m: float | None, depth_m: float | None
) -> float | None:
    """Return the litres that a box or cylinder of these inside dimensions holds.

    A cylinder's length is its diameter; with a width it is an ellipse. `depth_m` is the depth of
    the water. None where a dimension is missing, or for other shapes.
    """
    if shape is Shape.OTHER or length_m is None or depth_m is None:
        return None
    if shape is Shape.BOX:
        return None if width_m is None else 1000.0 * length_m * width_m * depth_m
    return 1000.0 * math.pi / 4 * length_m * (width_m or length_m) * depth_m


def with_volume(profile: TubProfile) -> TubProfile:
    """Return the profile with the litres that its shape holds, where its dimensions are given."""
    litres = volume_from_shape(
        profile.shape,
        length_m=profile.length_m,
        width_m=profile.width_m,
        depth_m=profile.depth_m,
    )
    return profile if litres is None else replace(profile, volume_l=round(litres, 1))


def climate_has_winter(profile: TubProfile) -> bool:
    """Return whether hard frost must be expected at the site; an unknown latitude counts as yes.

    It does from 30 degrees of latitude on. High ground nearer the equator can freeze as well: the
    person adds the tasks by hand there.
    """
    latitude = profile.latitude_deg
    return latitude is None or abs(latitude) >= FROST_FROM_LATITUDE_DEG


def is_southern(profile: TubProfile) -> bool:
    """Return whether the site lies south of the equator."""
    return profile.latitude_deg is not None and profile.latitude_deg < 0


def in_open_season(profile: TubProfile, day: MonthDay) -> bool:
    """Return whether a day of the year lies in the planned open season, which may wrap."""
    opens, closes = _number(profile.season_opens), _number(profile.season_closes)
    at = _number(day)
    if opens < closes:
        return opens <= at < closes
    return at >= opens or at < closes


def checked_profile(profile: TubProfile) -> TubProfile:
    """Return the profile as given when it can be right.

    Raises
    ------
    OutOfRangeError
        For a number outside the range of any real tub, naming it.
    InputError
        For an empty name, a day that no year has, a season that opens and closes on the same day,
        or litres that the dimensions cannot hold.
    """
    for name in _TEXTS:
        written: str = getattr(profile, name)
        if not written.strip():
            raise InputError(name, "write a name")
    for name, (low, high) in BOUNDS.items():
        value: float | None = getattr(profile, name)
        if value is not None and not (math.isfinite(value) and low <= value <= high):
            raise OutOfRangeError(name, value, low, high)
    for name in _DAYS:
        _check_day(name, getattr(profile, name))
    if profile.season_opens == profile.season_closes:
        raise InputError("season_closes", "a season cannot open and close on the same day")
    _check_volume(profile)
    return profile


def profile_to_data(profile: TubProfile) -> dict[str, object]:
    """Return the profile as plain data for JSON."""
    data: dict[str, object] = {"version": PROFILE_VERSION}
    for column in columns(profile):
        value: object = getattr(profile, column.name)
        if isinstance(value, MonthDay):
            value = [value.month, value.day]
        data[column.name] = str(value) if column.name in _WORDS else value
    return data


def profile_from_data(data: Mapping[str, object]) -> TubProfile:
    """Return the profile that `profile_to_data` wrote; what is missing has its default.

    Fields that this version does not know are left out.

    Raises
    ------
    InputError
        For data of a later version, or naming the field that cannot be used.
    """
    version = fields.whole(data, "version") if "version" in data else PROFILE_VERSION
    if version > PROFILE_VERSION:
        raise InputError("version", f"a profile of version {version} needs a later program")
    base = TubProfile(name=fields.text(data, "name"))
    values = {
        column.name: _value(data, column.name) for column in columns(base) if column.name in data
    }
    return replace(base, **values)  # type: ignore[arg-type]  # each was read by its own kind


def _value(data: Mapping[str, object], name: str) -> object:
    if name in _WORDS:
        return fields.word(data, name, _WORDS[name])
    reader = _READERS.get(name)
    if reader is not None:
        return reader(data, name)
    return None if data[name] is None else fields.number(data, name)


def _day(data: Mapping[str, object], name: str) -> MonthDay:
    match data[name]:
        case [int(month), int(day)]:
            return MonthDay(month=month, day=day)
        case _:
            raise InputError(name, "write month and day as two numbers")


def _check_day(name: str, day: MonthDay) -> None:
    if not 1 <= day.month <= 12:
        raise OutOfRangeError(f"{name}.month", day.month, 1, 12)
    longest = _DAYS_OF_MONTH[day.month - 1]
    if not 1 <= day.day <= longest:
        raise OutOfRangeError(f"{name}.day", day.day, 1, longest)


def _check_volume(profile: TubProfile) -> None:
    held = with_volume(profile).volume_l
    share = profile.volume_l / held
    if not _LEAST_SHARE <= share <= _LARGEST_SHARE:
        raise InputError(
            "volume_l",
            f"{profile.volume_l:g} L does not fit the dimensions, which hold about {held:.0f} L",
        )


def _number(day: MonthDay) -> int:
    return day.month * 100 + day.day


_READERS: Mapping[str, Callable[[Mapping[str, object], str], object]] = {
    "name": fields.text,
    "zone": fields.text,
    "has_ozone": fields.yes,
    "has_uv": fields.yes,
    "people": fields.whole,
    "season_opens": _day,
    "season_closes": _day,
}
