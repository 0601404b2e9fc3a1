"""Ranges of a tub's water, each with the document it stands on."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.values import Liner, Sanitiser

if TYPE_CHECKING:
    from collections.abc import Mapping


class Quantity(StrEnum):
    """What a range limits. pH [-]; hardness and alkalinity as CaCO3, the rest as such [mg/L]."""

    PH = "ph"
    ALKALINITY = "alkalinity"
    CALCIUM = "calcium"
    FREE_CHLORINE = "free_chlorine"
    COMBINED_CHLORINE = "combined_chlorine"
    BROMINE = "bromine"
    PEROXIDE = "peroxide"
    CYANURIC_ACID = "cyanuric_acid"
    CHLORIDE = "chloride"


class Basis(StrEnum):
    """How well a range is documented."""

    SEEN = "seen"
    SECOND_HAND = "second_hand"
    MEMORY = "memory"
    OWN = "own"


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """A range with its document and section; an end that is None is open."""

    quantity: Quantity
    low: float | None
    high: float | None
    aim: float | None
    document: str
    section: str
    basis: Basis
    note: str = ""

    def __post_init__(self) -> None:
        """Refuse a range that is out of order or empty."""
        points = [value for value in (self.low, self.aim, self.high) if value is not None]
        if not points or points != sorted(points):
            raise InputError(self.quantity.value, "low, aim and high must be in this order")

    def contains(self, value: float) -> bool:
        """Return whether a value lies inside, ends included."""
        return (self.low is None or value >= self.low) and (
            self.high is None or value <= self.high
        )

    @property
    def target(self) -> float:
        """Value to dose for: the aim, else the middle, else the one end there is."""
        if self.aim is not None:
            return self.aim
        ends = [value for value in (self.low, self.high) if value is not None]
        return sum(ends) / len(ends)


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeBook:
    """All ranges: the defaults by sanitiser, what a liner adds, and what documents print."""

    defaults: Mapping[Sanitiser, Mapping[Quantity, Range]]
    liners: Mapping[tuple[Liner, Sanitiser | None], Mapping[Quantity, Range]]
    published: tuple[Range, ...]

    def of(self, sanitiser: Sanitiser, liner: Liner) -> dict[Quantity, Range]:
        """Return the ranges of a tub: its liner's replace those of its sanitiser."""
        return {
            **self.defaults[sanitiser],
            **self.liners.get((liner, None), {}),
            **self.liners.get((liner, sanitiser), {}),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Loosening:
    """One end of a range that a person moved outwards; None means opened altogether."""

    quantity: Quantity
    end: str
    default: float
    edited: float | None


def parse_ranges(text: str) -> RangeBook:
    """Return the ranges written in TOML (`resources/water/ranges.toml`).

    Raises
    ------
    InputError
        If the text is no TOML or a row cannot be read.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("ranges", f"is not valid TOML: {error}") from error
    defaults: dict[Sanitiser, dict[Quantity, Range]] = {kind: {} for kind in Sanitiser}
    for row in data.get("tub", []):
        found = _range(row)
        defaults[_sanitiser(row)][found.quantity] = found
    liners: dict[tuple[Liner, Sanitiser | None], dict[Quantity, Range]] = {}
    for row in data.get("liner", []):
        found = _range(row)
        place = (_liner(row), _sanitiser(row) if "sanitiser" in row else None)
        liners.setdefault(place, {})[found.quantity] = found
    return RangeBook(
        defaults=defaults,
        liners=liners,
        published=tuple(_range(row) for row in data.get("published", [])),
    )


def loosened(default: Range, edited: Range) -> tuple[Loosening, ...]:
    """Return the ends at which an edited range reaches beyond the default: warn of each."""
    found = []
    if default.low is not None and (edited.low is None or edited.low < default.low):
        found.append(
            Loosening(quantity=default.quantity, end="low", default=default.low, edited=edited.low)
        )
    if default.high is not None and (edited.high is None or edited.high > default.high):
        found.append(
            Loosening(
                quantity=default.quantity, end="high", default=default.high, edited=edited.high
            )
        )
    return tuple(found)


def edited_range(
    default: Range, *, low: float | None, aim: float | None, high: float | None
) -> Range:
    """Return a default with a person's own numbers; its document stays as what it departs from.

    Parameters
    ----------
    low, aim, high
        In the unit of the range, any that is in order; None for an open end

    Raises
    ------
    InputError
        If they are not in order; raised by `Range` itself.
    """
    return replace(default, low=low, aim=aim, high=high)


def _range(row: Mapping[str, object]) -> Range:
    """Return one row as a range."""
    try:
        return Range(
            quantity=Quantity(str(row["quantity"])),
            low=_number(row, "low"),
            high=_number(row, "high"),
            aim=_number(row, "aim"),
            document=str(row["document"]),
            section=str(row["section"]),
            basis=Basis(str(row["basis"])),
            note=str(row.get("note", "")),
        )
    except (KeyError, ValueError) as error:
        raise InputError("ranges", f"a row cannot be read: {error}") from error


def _sanitiser(row: Mapping[str, object]) -> Sanitiser:
    """Return the sanitiser of a default."""
    try:
        return Sanitiser(str(row["sanitiser"]))
    except (KeyError, ValueError) as error:
        raise InputError("ranges", f"a row names no sanitiser: {error}") from error


def _liner(row: Mapping[str, object]) -> Liner:
    """Return the liner that a range belongs to."""
    try:
        return Liner(str(row["liner"]))
    except (KeyError, ValueError) as error:
        raise InputError("ranges", f"a row names no liner: {error}") from error


def _number(row: Mapping[str, object], name: str) -> float | None:
    """Return a number or None."""
    value = row.get(name)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise InputError("ranges", f"{name} must be a number")
    return float(value)
