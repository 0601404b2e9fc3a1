"""What ends the sanitiser before the water is let out, and how much of it."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.errors import InputError
from tubcare.water import masses
from tubcare.water.compounds import EFFECTS, NEUTRALISERS, Compound
from tubcare.water.limits import check

if TYPE_CHECKING:
    from collections.abc import Mapping

_VOLUME_L = (1.0, 100_000.0)
_MG_L = (0.0, 100.0)
_PEROXIDE_MG_L = (0.0, 500.0)
# Dechlorination manual of the AWWA Research Foundation (Tikkanen et al. 2001): 10 % over.
_OVERDOSE = 1.10
# mg per mg of chlorine that people find in practice, where the reaction stops between two ends:
# AWWA C655 lists about 2 for thiosulfate (from memory); 1.5-3.5 at pH 7-8.
_PRACTICE: Final[Mapping[Compound, tuple[float, float]]] = MappingProxyType(
    {Compound.THIOSULFATE_PENTAHYDRATE: (1.5, 3.5), Compound.THIOSULFATE: (0.96, 2.23)}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Neutralising:
    """How much of an agent ends the sanitiser.

    Attributes
    ----------
    first_g
        To add first, mix, wait and test again. [g]
    low_g, high_g
        Range in which the need lies; more than `high_g` is never called for. [g]
    alkalinity_used_mg_l
        Acid the reaction makes, as alkalinity lost (CaCO3). [mg/L]
    stepwise
        Whether no single ratio is right and the dose goes in by steps with a test between.
    """

    compound: Compound
    first_g: float
    low_g: float
    high_g: float
    alkalinity_used_mg_l: float
    stepwise: bool


def neutralising(
    compound: Compound,
    *,
    volume_l: float,
    free_chlorine_mg_l: float = 0.0,
    bromine_mg_l: float = 0.0,
    peroxide_mg_l: float = 0.0,
) -> Neutralising:
    """Return how much of an agent (pure) ends the sanitiser of a tub before draining.

    Whether and where the water may then go, local rules decide.

    Parameters
    ----------
    compound
        Thiosulfate (either), sulfite, ascorbic acid or sodium ascorbate.
    volume_l
        [L], 1..100000
    free_chlorine_mg_l, bromine_mg_l
        As read; total chlorine rather than free, where it is known. [mg/L as Cl2, as Br2], 0..100
    peroxide_mg_l
        Hydrogen peroxide, which of these agents only sulfite ends quickly:
        SO3-- + H2O2 -> SO4-- + H2O. [mg/L], 0..500

    Raises
    ------
    InputError
        If the compound is no neutraliser, or there is peroxide and it is not sulfite.

    References
    ----------
    Stoichiometry, own derivation; AWWA C655 for the practice with thiosulfate (from memory);
    Tikkanen et al. 2001 for the 10 % over.
    """
    if compound not in NEUTRALISERS:
        raise InputError("compound", f"{compound.value} is no agent that ends a sanitiser")
    if peroxide_mg_l > 0.0 and compound is not Compound.SULFITE:
        raise InputError("compound", f"{compound.value} is too slow on peroxide: take sulfite")
    check("volume_l", volume_l, *_VOLUME_L)
    check("free_chlorine_mg_l", free_chlorine_mg_l, *_MG_L)
    check("bromine_mg_l", bromine_mg_l, *_MG_L)
    check("peroxide_mg_l", peroxide_mg_l, *_PEROXIDE_MG_L)
    effect = EFFECTS[compound]
    halogen = free_chlorine_mg_l + bromine_mg_l * masses.CHLORINE / masses.BROMINE
    # Counted as the chlorine that takes as much of the agent.
    peroxide = peroxide_mg_l * masses.CHLORINE / masses.HYDROGEN_PEROXIDE
    oxidant = halogen + peroxide
    ratio = effect.molar_mass / (-effect.chlorine * masses.CHLORINE)
    acid = effect.alkalinity / -effect.chlorine * masses.ALKALINITY_EQUIVALENT / masses.CHLORINE
    grams = oxidant * volume_l * 1e-3
    first, most = _PRACTICE.get(compound, (ratio * _OVERDOSE, ratio * _OVERDOSE))
    return Neutralising(
        compound=compound,
        first_g=first * grams,
        low_g=ratio * grams,
        high_g=most * grams,
        alkalinity_used_mg_l=0.0 - acid * halogen,
        stepwise=compound in _PRACTICE,
    )
