"""The cautions that stand beside every dose."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.errors import InputError
from tubcare.water.compounds import (
    ACIDS,
    HYPOCHLORITES,
    ISOCYANURATES,
    NEUTRALISERS,
    Compound,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

# How the keys of the cautions that every product has begin.
GENERAL: Final = "general."
_OTHERS: Final[Mapping[Compound, str]] = MappingProxyType(
    {
        Compound.CHLORINE_GAS: "gas",
        Compound.BROMINE_TABLET: "bromine",
        Compound.HYDROGEN_PEROXIDE: "peroxide",
    }
)
_HALOGENS: Final = frozenset({"hypochlorite", "isocyanurate", "gas", "bromine"})
_ENEMIES: Final = frozenset({"acid", "peroxide", "reducer"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution: a stable key, and its sentence in English."""

    key: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CautionBook:
    """All cautions, by compound; the general ones come last. `stock` are those of a solution."""

    by_compound: Mapping[Compound, tuple[Caution, ...]]
    stock: tuple[Caution, ...]

    def of(self, compound: Compound) -> tuple[Caution, ...]:
        """Return the cautions of a compound, its own first."""
        return self.by_compound[compound]


def parse_cautions(text: str) -> CautionBook:
    """Return the cautions written in TOML (`resources/water/cautions.toml`).

    Raises
    ------
    InputError
        If the text is no TOML, or any compound or a stock solution is left without its own.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("cautions", f"is not valid TOML: {error}") from error
    general = _sentences("general", data.get("general", {}))
    groups = {name: _sentences(name, rows) for name, rows in data.get("groups", {}).items()}
    products = data.get("products", {})
    book = {}
    for compound in Compound:
        own = groups.get(products.get(compound.value, ""), ())
        if not own:
            raise InputError("cautions", f"{compound.value} has no cautions of its own")
        book[compound] = own + general
    stock = _sentences("stock", data.get("stock", {}))
    if not stock:
        raise InputError("cautions", "a stock solution has none of its own")
    return CautionBook(by_compound=book, stock=stock)


def never_together(first: Compound, second: Compound) -> bool:
    """Return whether two products must never meet undiluted, on the shelf or in a scoop.

    Chlorines of different kinds, chlorine with acid, and chlorine or bromine with peroxide or a
    reducing agent (labels and safety data sheets, common practice).
    """
    classes = {_danger_class(first), _danger_class(second)}
    if len(classes) == 1:
        # Calcium hypochlorite and bleach are one class, yet two products: still not in one scoop.
        return first is not second and classes <= _HALOGENS
    return bool(classes & _HALOGENS) and classes <= _HALOGENS | _ENEMIES


def _danger_class(compound: Compound) -> str:
    """Return the class by which products are kept apart."""
    if compound in ISOCYANURATES:
        return "isocyanurate"
    if compound in HYPOCHLORITES:
        return "hypochlorite"
    if compound in ACIDS:
        return "acid"
    if compound in NEUTRALISERS:
        return "reducer"
    return _OTHERS.get(compound, "harmless")


def _sentences(group: str, rows: Mapping[str, str]) -> tuple[Caution, ...]:
    """Return the sentences of a group."""
    return tuple(Caution(key=f"{group}.{name}", text=text) for name, text in rows.items())
