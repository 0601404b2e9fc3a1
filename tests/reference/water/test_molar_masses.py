"""Molar masses and electroneutrality against a general library (molmass).

Its chlorine is the older 35.453, ours the abridged 35.45: hence 2e-4.
"""

from __future__ import annotations

from typing import Final

import molmass
import pytest

from tubcare.water.compounds import EFFECTS, Compound

FORMULAS: Final = {
    Compound.SODIUM_BISULFATE: "NaHSO4",
    Compound.HYDROCHLORIC_ACID: "HCl",
    Compound.SODA_ASH: "Na2CO3",
    Compound.SODIUM_BICARBONATE: "NaHCO3",
    Compound.CAUSTIC_SODA: "NaOH",
    Compound.CALCIUM_CHLORIDE: "CaCl2",
    Compound.CALCIUM_CHLORIDE_DIHYDRATE: "CaCl2H4O2",
    Compound.SODIUM_HYPOCHLORITE: "NaOCl",
    Compound.CALCIUM_HYPOCHLORITE: "CaO2Cl2",
    Compound.DICHLOR: "C3N3O3Cl2Na",
    Compound.DICHLOR_DIHYDRATE: "C3N3O5Cl2NaH4",
    Compound.TRICHLOR: "C3N3O3Cl3",
    Compound.CHLORINE_GAS: "Cl2",
    Compound.CYANURIC_ACID: "C3H3N3O3",
    Compound.BROMINE_TABLET: "C5H6BrClN2O2",
    Compound.HYDROGEN_PEROXIDE: "H2O2",
    Compound.BORIC_ACID: "H3BO3",
    Compound.BORAX: "Na2B4O17H20",
    Compound.SODIUM_CHLORIDE: "NaCl",
    Compound.THIOSULFATE: "Na2S2O3",
    Compound.THIOSULFATE_PENTAHYDRATE: "Na2S2O8H10",
    Compound.SULFITE: "Na2SO3",
    Compound.ASCORBIC_ACID: "C6H8O6",
    Compound.SODIUM_ASCORBATE: "C6H7O6Na",
}


@pytest.mark.parametrize("compound", list(Compound))
def test_a_compound_weighs_what_the_library_says(compound: Compound) -> None:
    assert EFFECTS[compound].molar_mass == pytest.approx(
        molmass.Formula(FORMULAS[compound]).mass, rel=2e-4
    )


@pytest.mark.parametrize("compound", list(Compound))
def test_alkalinity_is_what_electroneutrality_leaves(compound: Compound) -> None:
    """Stumm & Morgan, Aquatic Chemistry, ch. 4: alkalinity is the sum of the strong ions."""
    effect = EFFECTS[compound]
    strong_ions = effect.sodium + 2 * effect.calcium - effect.chloride - 2 * effect.sulfate
    if compound is Compound.BROMINE_TABLET:
        # The bromide that its chlorine oxidises leaves the water as one strong anion.
        strong_ions += 1
    assert effect.alkalinity == pytest.approx(strong_ions)
