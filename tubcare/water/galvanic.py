"""Metals that should not share one water."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.values import Liner

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping


class Metal(StrEnum):
    """A metal that touches the water."""

    MAGNESIUM = "magnesium"
    ZINC = "zinc"
    GALVANISED_STEEL = "galvanised_steel"
    ALUMINIUM = "aluminium"
    CARBON_STEEL = "carbon_steel"
    BRASS = "brass"
    COPPER = "copper"
    CUPRONICKEL = "cupronickel"
    STAINLESS_304 = "stainless_304"
    STAINLESS_316 = "stainless_316"
    TITANIUM = "titanium"


# Anodic index [V], passive grades: after MIL-STD-889 (from memory).
ANODIC_INDEX_V: Final[Mapping[Metal, float]] = MappingProxyType(
    {
        Metal.MAGNESIUM: 1.75,
        Metal.ZINC: 1.25,
        Metal.GALVANISED_STEEL: 1.20,
        Metal.ALUMINIUM: 0.90,
        Metal.CARBON_STEEL: 0.85,
        Metal.BRASS: 0.40,
        Metal.COPPER: 0.35,
        Metal.CUPRONICKEL: 0.35,
        Metal.STAINLESS_304: 0.50,
        Metal.STAINLESS_316: 0.50,
        Metal.TITANIUM: 0.30,
    }
)
# Difference that a wet, salty joint stands (customary for harsh surroundings, from memory).
_HARSH_V = 0.15
_COPPERS: Final = frozenset({Metal.COPPER, Metal.CUPRONICKEL, Metal.BRASS})


class PairKind(StrEnum):
    """How the pair does harm."""

    JOINT = "joint"
    PLATED_COPPER = "plated_copper"


@dataclass(frozen=True, slots=True, kw_only=True)
class GalvanicPair:
    """Two metals of which one eats the other.

    `attacked` is the one that suffers; `volts` their distance [V]. A joint harms only where they
    touch; copper harms aluminium through the water: 20 µg/L are enough to plate and pit it (SUEZ
    Water Handbook, Aluminium).
    """

    attacked: Metal
    noble: Metal
    volts: float
    kind: PairKind


def galvanic_pairs(metals: Collection[Metal]) -> tuple[GalvanicPair, ...]:
    """Return the pairs among the wetted metals to warn of, the worst first.

    References
    ----------
    MIL-STD-889 (anodic index, from memory); Jorcin et al. 2008, J. Electrochem. Soc. 155:C46 for
    aluminium and copper.
    """
    found = []
    for first, second in combinations(sorted(set(metals)), 2):
        attacked, noble = sorted((first, second), key=lambda m: -ANODIC_INDEX_V[m])
        volts = ANODIC_INDEX_V[attacked] - ANODIC_INDEX_V[noble]
        if volts <= _HARSH_V + 1e-9:
            continue
        plated = attacked is Metal.ALUMINIUM and noble in _COPPERS
        kind = PairKind.PLATED_COPPER if plated else PairKind.JOINT
        found.append(GalvanicPair(attacked=attacked, noble=noble, volts=volts, kind=kind))
    return tuple(sorted(found, key=lambda pair: (pair.kind is PairKind.JOINT, -pair.volts)))


# What a liner itself brings into the water.
LINER_METALS: Final[Mapping[Liner, Metal]] = MappingProxyType(
    {Liner.ALUMINIUM: Metal.ALUMINIUM, Liner.STAINLESS_STEEL: Metal.STAINLESS_304}
)
