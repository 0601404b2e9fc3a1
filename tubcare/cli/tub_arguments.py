"""The description of a tub as options of the command line: one for each field of its profile."""

from __future__ import annotations

from dataclasses import fields
from enum import StrEnum
from typing import TYPE_CHECKING, get_args, get_type_hints

from tubcare.cli.figures import finite, month_day
from tubcare.values import MonthDay, TubProfile

if TYPE_CHECKING:
    import argparse

#: Options that are not named as their field is.
_NAMES = {
    "volume_l": "litres",
    "season_opens": "opens",
    "season_closes": "closes",
    "filter_kind": "filter",
    "has_ozone": "ozone",
    "has_uv": "uv",
}
_ABOUT = {
    "length_m": "inside, or the diameter of a cylinder",
    "width_m": "inside, of a box or an oval",
    "depth_m": "of the water",
    "volume_l": "400, or what the dimensions hold, unless said",
    "liner": "what touches the water",
    "cladding": "what is around it",
    "has_ozone": "an ozone unit is fitted",
    "has_uv": "a UV lamp is fitted",
    "chiller_w": "power of the chiller, 0 for none",
    "pump_w": "power of the pump, 0 for none",
    "zone": "time zone, such as Europe/Helsinki",
    "latitude_deg": "south is negative; decides whether winters call for closing",
    "season_opens": "planned first day, such as 05-01",
    "season_closes": "planned first closed day, such as 10-15",
    "people": "how many use it",
}


def add_profile(parser: argparse.ArgumentParser) -> None:
    """Add an option for each field of a tub's profile but its name."""
    group = parser.add_argument_group("describing the tub, with “add”")
    for name, kind in _kinds().items():
        flag, about = f"--{_NAMES.get(name, name).replace('_', '-')}", _ABOUT.get(name)
        if kind is bool:
            group.add_argument(flag, dest=name, action="store_true", default=None, help=about)
        elif issubclass(kind, StrEnum):
            words = [each.value for each in kind]
            group.add_argument(flag, dest=name, choices=words, help=about)
        elif kind is str:
            group.add_argument(flag, dest=name, metavar="NAME", help=about)
        elif kind is MonthDay:
            group.add_argument(flag, dest=name, type=month_day, metavar="MM-DD", help=about)
        else:
            read = int if kind is int else finite
            group.add_argument(flag, dest=name, type=read, metavar="NUMBER", help=about)


def said_profile(values: argparse.Namespace) -> dict[str, object]:
    """Return the fields of a profile that were said, by name, each of its own kind."""
    said = {name: getattr(values, name) for name in _kinds()}
    return {
        name: kind(said[name]) if issubclass(kind, StrEnum) else said[name]
        for name, kind in _kinds().items()
        if said[name] is not None
    }


def _kinds() -> dict[str, type]:
    """Return the kind of each field but the name; of those that may be unknown, the known one."""
    hints = get_type_hints(TubProfile)
    return {
        field.name: next(iter(get_args(hints[field.name])), hints[field.name])
        for field in fields(TubProfile)
        if field.name != "name"
    }
