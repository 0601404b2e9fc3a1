"""What products hold and how their labels state strength, in words."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.water.compounds import Compound
from tubcare.water.products import Form, StrengthKind
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.words.locale import Speech

COMPOUNDS: Mapping[Compound, Term] = MappingProxyType(
    {
        Compound.SODIUM_BISULFATE: term("compound", "sodium bisulfate (pH minus, dry)"),
        Compound.HYDROCHLORIC_ACID: term("compound", "hydrochloric acid"),
        Compound.SODA_ASH: term("compound", "soda ash (pH plus)"),
        Compound.SODIUM_BICARBONATE: term("compound", "sodium bicarbonate"),
        Compound.CAUSTIC_SODA: term("compound", "caustic soda"),
        Compound.CALCIUM_CHLORIDE: term("compound", "calcium chloride, anhydrous"),
        Compound.CALCIUM_CHLORIDE_DIHYDRATE: term("compound", "calcium chloride dihydrate"),
        Compound.SODIUM_HYPOCHLORITE: term("compound", "sodium hypochlorite (bleach)"),
        Compound.CALCIUM_HYPOCHLORITE: term("compound", "calcium hypochlorite"),
        Compound.DICHLOR: term("compound", "dichlor"),
        Compound.DICHLOR_DIHYDRATE: term("compound", "dichlor dihydrate"),
        Compound.TRICHLOR: term("compound", "trichlor"),
        Compound.CHLORINE_GAS: term("compound", "chlorine gas"),
        Compound.CYANURIC_ACID: term("compound", "cyanuric acid"),
        Compound.BROMINE_TABLET: term("compound", "bromine tablets"),
        Compound.HYDROGEN_PEROXIDE: term("compound", "hydrogen peroxide"),
        Compound.BORIC_ACID: term("compound", "boric acid"),
        Compound.BORAX: term("compound", "borax"),
        Compound.SODIUM_CHLORIDE: term("compound", "common salt"),
        Compound.THIOSULFATE: term("compound", "sodium thiosulfate, anhydrous"),
        Compound.THIOSULFATE_PENTAHYDRATE: term("compound", "sodium thiosulfate pentahydrate"),
        Compound.SULFITE: term("compound", "sodium sulfite"),
        Compound.ASCORBIC_ACID: term("compound", "ascorbic acid"),
        Compound.SODIUM_ASCORBATE: term("compound", "sodium ascorbate"),
    }
)
STRENGTHS: Mapping[StrengthKind, Term] = MappingProxyType(
    {
        StrengthKind.MASS_PERCENT: term("strength", "% by mass"),
        StrengthKind.AVAILABLE_CHLORINE_PERCENT: term("strength", "% available chlorine"),
        StrengthKind.TRADE_PERCENT: term("strength", "trade % (g of chlorine in 100 ml)"),
        StrengthKind.GRAMS_PER_LITRE: term("strength", "g in a litre"),
    }
)
FORMS: Mapping[Form, Term] = MappingProxyType(
    {Form.SOLID: term("form", "solids"), Form.LIQUID: term("form", "liquids")}
)


def compound_name(speech: Speech, compound: Compound) -> str:
    """Return what a product holds."""
    return say_term(speech, COMPOUNDS[compound])


def strength_name(speech: Speech, kind: StrengthKind) -> str:
    """Return how a label states strength."""
    return say_term(speech, STRENGTHS[kind])
