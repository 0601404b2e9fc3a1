"""Which tubs a template is for: a small language of conditions over the profile.

A condition is a table; every line in it has to hold.

- ``liner = ["aluminium", "stainless_steel"]``: the word is one of these
- ``winters = true``: the fact holds (false: it does not)
- ``volume_l = ">= 500"``: the number compares so
- ``any = [{...}, {...}]``: at least one of the tables holds
- ``not = {...}``: the table does not hold
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.care import fields
from tubcare.care.condition import Condition, parse_condition
from tubcare.care.profile import climate_has_winter, in_open_season, is_southern
from tubcare.care.terms import Comparison
from tubcare.errors import InputError
from tubcare.values import (
    Cladding,
    FilterKind,
    LidKind,
    Liner,
    MonthDay,
    Sanitiser,
    Shape,
)

if TYPE_CHECKING:
    from collections.abc import Mapping
    from enum import StrEnum

    from tubcare.values import TubProfile

_WORDS: Mapping[str, type[StrEnum]] = {
    "shape": Shape,
    "liner": Liner,
    "cladding": Cladding,
    "sanitiser": Sanitiser,
    "filter_kind": FilterKind,
    "lid": LidKind,
}
NUMBERS = frozenset({"volume_l", "chiller_w", "pump_w", "set_point_c", "people"})
FACTS = frozenset(
    {
        "winters",
        "closed_in_winter",
        "open_in_winter",
        "has_chiller",
        "has_pump",
        "has_filter",
        "has_power",
        "has_lid",
        "has_ozone",
        "has_uv",
        "has_wood",
        "is_dosed",
    }
)
_NESTED = frozenset({"any", "not"})
_DOSED = {Sanitiser.CHLORINE, Sanitiser.BROMINE, Sanitiser.HYDROGEN_PEROXIDE}
_WOODEN = {Cladding.SOFTWOOD, Cladding.DURABLE_WOOD}
_MIDWINTER_NORTH, _MIDWINTER_SOUTH = MonthDay(month=1, day=15), MonthDay(month=7, day=15)


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """A condition over the profile; an empty one always holds."""

    words: tuple[tuple[str, frozenset[str]], ...] = ()
    facts: tuple[tuple[str, bool], ...] = ()
    numbers: tuple[Condition, ...] = ()
    any_of: tuple[When, ...] = ()
    none_of: tuple[When, ...] = ()

    def holds(self, profile: TubProfile) -> bool:
        """Return whether a tub of this profile is meant."""
        facts = profile_facts(profile)
        return (
            all(getattr(profile, name) in words for name, words in self.words)
            and all(facts[name] is wanted for name, wanted in self.facts)
            and all(
                condition.holds(getattr(profile, condition.quantity), None)
                for condition in self.numbers
            )
            and (not self.any_of or any(each.holds(profile) for each in self.any_of))
            and not any(each.holds(profile) for each in self.none_of)
        )


def profile_facts(profile: TubProfile) -> dict[str, bool]:
    """Return what follows from a profile, by the names in `FACTS`.

    A filter needs a pump, and a lid or a liner of wood counts as wood like a cladding does.
    """
    winters = climate_has_winter(profile)
    midwinter = _MIDWINTER_SOUTH if is_southern(profile) else _MIDWINTER_NORTH
    runs_through = in_open_season(profile, midwinter)
    has_ozone = profile.has_ozone or profile.sanitiser is Sanitiser.OZONE
    has_uv = profile.has_uv or profile.sanitiser is Sanitiser.UV
    has_chiller = profile.chiller_w > 0
    has_filter = profile.filter_kind is not FilterKind.NONE
    has_pump = profile.pump_w > 0 or has_filter
    return {
        "winters": winters,
        "closed_in_winter": winters and not runs_through,
        "open_in_winter": winters and runs_through,
        "has_chiller": has_chiller,
        "has_pump": has_pump,
        "has_filter": has_filter,
        "has_power": has_chiller or has_pump or has_ozone or has_uv,
        "has_lid": profile.lid is not LidKind.NONE,
        "has_ozone": has_ozone,
        "has_uv": has_uv,
        "has_wood": profile.liner is Liner.WOOD
        or profile.cladding in _WOODEN
        or profile.lid is LidKind.WOOD,
        "is_dosed": profile.sanitiser in _DOSED,
    }


def read_when(data: Mapping[str, object]) -> When:
    """Return the condition that a table states.

    Raises
    ------
    InputError
        Naming the line that cannot be used.
    """
    fields.only(data, {*_WORDS, *FACTS, *NUMBERS, *_NESTED})
    return When(
        words=tuple((name, _choice(data, name)) for name in data if name in _WORDS),
        facts=tuple((name, fields.yes(data, name)) for name in data if name in FACTS),
        numbers=tuple(_number(data, name) for name in data if name in NUMBERS),
        any_of=_tables(data, "any"),
        none_of=(read_when(fields.table(data, "not")),) if "not" in data else (),
    )


def _choice(data: Mapping[str, object], name: str) -> frozenset[str]:
    listed = data[name]
    if not isinstance(listed, list) or not listed:
        raise InputError(name, "write a list of words")
    known = {str(word) for word in _WORDS[name]}
    for word in listed:
        if word not in known:
            raise InputError(name, f"{word!r} is not one of {' '.join(sorted(known))}")
    return frozenset(listed)


def _number(data: Mapping[str, object], name: str) -> Condition:
    condition = parse_condition(f"{name} {fields.text(data, name)}")
    if condition.limit is None or condition.comparison is Comparison.OUTSIDE:
        raise InputError(name, "compare with a number, such as >= 500")
    return condition


def _tables(data: Mapping[str, object], name: str) -> tuple[When, ...]:
    listed = data.get(name, [])
    if not isinstance(listed, list) or (name in data and not listed):
        raise InputError(name, "write a list of tables")
    return tuple(read_when(fields.as_table(name, item)) for item in listed)
