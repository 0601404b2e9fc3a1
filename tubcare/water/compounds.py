"""Pure compounds and what one mole of each does to the totals of the water.

Signs follow the strong-ion sum: alkalinity = Na + 2 Ca - Cl - 2 SO4 with HOCl, HOBr, H3Cy and
B(OH)3 as zero level, so every line can be checked by electroneutrality.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.water import masses
from tubcare.water.limits import check
from tubcare.water.reading import Totals

if TYPE_CHECKING:
    from collections.abc import Mapping

# More than this in one litre is no dose but a mistake of units.
HIGHEST_DOSE_MG_L = 10_000.0


class Compound(StrEnum):
    """A pure chemical that changes the water."""

    SODIUM_BISULFATE = "sodium_bisulfate"
    HYDROCHLORIC_ACID = "hydrochloric_acid"
    SODA_ASH = "soda_ash"
    SODIUM_BICARBONATE = "sodium_bicarbonate"
    CAUSTIC_SODA = "caustic_soda"
    CALCIUM_CHLORIDE = "calcium_chloride"
    CALCIUM_CHLORIDE_DIHYDRATE = "calcium_chloride_dihydrate"
    SODIUM_HYPOCHLORITE = "sodium_hypochlorite"
    CALCIUM_HYPOCHLORITE = "calcium_hypochlorite"
    DICHLOR = "dichlor"
    DICHLOR_DIHYDRATE = "dichlor_dihydrate"
    TRICHLOR = "trichlor"
    CHLORINE_GAS = "chlorine_gas"
    CYANURIC_ACID = "cyanuric_acid"
    BROMINE_TABLET = "bromine_tablet"
    HYDROGEN_PEROXIDE = "hydrogen_peroxide"
    BORIC_ACID = "boric_acid"
    BORAX = "borax"
    SODIUM_CHLORIDE = "sodium_chloride"
    THIOSULFATE = "thiosulfate"
    THIOSULFATE_PENTAHYDRATE = "thiosulfate_pentahydrate"
    SULFITE = "sulfite"
    ASCORBIC_ACID = "ascorbic_acid"
    SODIUM_ASCORBATE = "sodium_ascorbate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What one mole does. All in mol per mol; `chlorine` as Cl2, `bromine` as Br2."""

    molar_mass: float
    alkalinity: float = 0.0
    carbon: float = 0.0
    calcium: float = 0.0
    sodium: float = 0.0
    chloride: float = 0.0
    sulfate: float = 0.0
    chlorine: float = 0.0
    bromine: float = 0.0
    cyanurate: float = 0.0
    boron: float = 0.0
    peroxide: float = 0.0


_M = masses
_WATER: Final = 2 * _M.H + _M.O
_THIOSULFATE: Final = 2 * _M.NA + 2 * _M.S + 3 * _M.O
_DICHLOR: Final = 3 * (_M.C + _M.N + _M.O) + _M.NA + 2 * _M.CL
_CALCIUM_CHLORIDE: Final = _M.CA + 2 * _M.CL

EFFECTS: Final[Mapping[Compound, Effect]] = MappingProxyType(
    {
        Compound.SODIUM_BISULFATE: Effect(
            molar_mass=_M.NA + _M.H + _M.SULFATE, alkalinity=-1.0, sodium=1.0, sulfate=1.0
        ),
        Compound.HYDROCHLORIC_ACID: Effect(molar_mass=_M.H + _M.CL, alkalinity=-1.0, chloride=1.0),
        Compound.SODA_ASH: Effect(
            molar_mass=2 * _M.NA + _M.C + 3 * _M.O, alkalinity=2.0, carbon=1.0, sodium=2.0
        ),
        Compound.SODIUM_BICARBONATE: Effect(
            molar_mass=_M.NA + _M.BICARBONATE, alkalinity=1.0, carbon=1.0, sodium=1.0
        ),
        Compound.CAUSTIC_SODA: Effect(molar_mass=_M.NA + _M.O + _M.H, alkalinity=1.0, sodium=1.0),
        Compound.CALCIUM_CHLORIDE: Effect(molar_mass=_CALCIUM_CHLORIDE, calcium=1.0, chloride=2.0),
        Compound.CALCIUM_CHLORIDE_DIHYDRATE: Effect(
            molar_mass=_CALCIUM_CHLORIDE + 2 * _WATER, calcium=1.0, chloride=2.0
        ),
        Compound.SODIUM_HYPOCHLORITE: Effect(
            molar_mass=_M.NA + _M.O + _M.CL, alkalinity=1.0, sodium=1.0, chlorine=1.0
        ),
        Compound.CALCIUM_HYPOCHLORITE: Effect(
            molar_mass=_M.CA + 2 * (_M.O + _M.CL), alkalinity=2.0, calcium=1.0, chlorine=2.0
        ),
        Compound.DICHLOR: Effect(
            molar_mass=_DICHLOR, alkalinity=1.0, sodium=1.0, chlorine=2.0, cyanurate=1.0
        ),
        Compound.DICHLOR_DIHYDRATE: Effect(
            molar_mass=_DICHLOR + 2 * _WATER,
            alkalinity=1.0,
            sodium=1.0,
            chlorine=2.0,
            cyanurate=1.0,
        ),
        Compound.TRICHLOR: Effect(
            molar_mass=3 * (_M.C + _M.N + _M.O + _M.CL), chlorine=3.0, cyanurate=1.0
        ),
        Compound.CHLORINE_GAS: Effect(
            molar_mass=_M.CHLORINE, alkalinity=-1.0, chloride=1.0, chlorine=1.0
        ),
        Compound.CYANURIC_ACID: Effect(molar_mass=_M.CYANURIC_ACID, cyanurate=1.0),
        # Bromochlorodimethylhydantoin over a bank of bromide: both halogens end as HOBr.
        Compound.BROMINE_TABLET: Effect(
            molar_mass=5 * _M.C + 6 * _M.H + _M.BR + _M.CL + 2 * (_M.N + _M.O),
            chloride=1.0,
            bromine=2.0,
        ),
        Compound.HYDROGEN_PEROXIDE: Effect(molar_mass=_M.HYDROGEN_PEROXIDE, peroxide=1.0),
        Compound.BORIC_ACID: Effect(molar_mass=3 * (_M.H + _M.O) + _M.B, boron=1.0),
        Compound.BORAX: Effect(
            molar_mass=2 * _M.NA + 4 * _M.B + 7 * _M.O + 10 * _WATER,
            alkalinity=2.0,
            sodium=2.0,
            boron=4.0,
        ),
        Compound.SODIUM_CHLORIDE: Effect(molar_mass=_M.SODIUM_CHLORIDE, sodium=1.0, chloride=1.0),
        # S2O3-- + 4 HOCl + H2O -> 2 SO4-- + 4 Cl- + 6 H+, the end at which it is weakest in acid.
        Compound.THIOSULFATE: Effect(
            molar_mass=_THIOSULFATE,
            alkalinity=-6.0,
            sodium=2.0,
            sulfate=2.0,
            chloride=4.0,
            chlorine=-4.0,
        ),
        Compound.THIOSULFATE_PENTAHYDRATE: Effect(
            molar_mass=_THIOSULFATE + 5 * _WATER,
            alkalinity=-6.0,
            sodium=2.0,
            sulfate=2.0,
            chloride=4.0,
            chlorine=-4.0,
        ),
        Compound.SULFITE: Effect(
            molar_mass=2 * _M.NA + _M.S + 3 * _M.O,
            alkalinity=-1.0,
            sodium=2.0,
            sulfate=1.0,
            chloride=1.0,
            chlorine=-1.0,
        ),
        Compound.ASCORBIC_ACID: Effect(
            molar_mass=6 * _M.C + 8 * _M.H + 6 * _M.O,
            alkalinity=-1.0,
            chloride=1.0,
            chlorine=-1.0,
        ),
        Compound.SODIUM_ASCORBATE: Effect(
            molar_mass=6 * _M.C + 7 * _M.H + 6 * _M.O + _M.NA,
            sodium=1.0,
            chloride=1.0,
            chlorine=-1.0,
        ),
    }
)
ACIDS: Final = frozenset({Compound.SODIUM_BISULFATE, Compound.HYDROCHLORIC_ACID})
STRONG_BASES: Final = frozenset({Compound.SODA_ASH, Compound.CAUSTIC_SODA})
BASES: Final = STRONG_BASES | {Compound.SODIUM_BICARBONATE}
CALCIUM_SALTS: Final = frozenset({Compound.CALCIUM_CHLORIDE, Compound.CALCIUM_CHLORIDE_DIHYDRATE})
HYPOCHLORITES: Final = frozenset({Compound.SODIUM_HYPOCHLORITE, Compound.CALCIUM_HYPOCHLORITE})
ISOCYANURATES: Final = frozenset({Compound.DICHLOR, Compound.DICHLOR_DIHYDRATE, Compound.TRICHLOR})
NEUTRALISERS: Final = frozenset(
    {
        Compound.THIOSULFATE,
        Compound.THIOSULFATE_PENTAHYDRATE,
        Compound.SULFITE,
        Compound.ASCORBIC_ACID,
        Compound.SODIUM_ASCORBATE,
    }
)


def dosed(totals: Totals, compound: Compound, mg_l: float) -> Totals:
    """Return the totals after a dose, before any chlorine is used up.

    Parameters
    ----------
    mg_l
        Of the pure compound. [mg/L], 0..10000

    Raises
    ------
    OutOfRangeError
        If the dose lies outside its range.

    References
    ----------
    Own derivation from the reaction equations; molar masses IUPAC.
    """
    check("mg_l", mg_l, 0.0, HIGHEST_DOSE_MG_L)
    effect = EFFECTS[compound]
    return shifted(totals, effect, mg_l / effect.molar_mass)


def shifted(totals: Totals, effect: Effect, mmol_l: float) -> Totals:
    """Return the totals moved by an effect; raises nothing.

    Parameters
    ----------
    mmol_l
        How much of it; negative takes it back. [mmol/L], any
    """
    return Totals(
        alkalinity=totals.alkalinity + mmol_l * effect.alkalinity,
        carbon=totals.carbon + mmol_l * effect.carbon,
        calcium=totals.calcium + mmol_l * effect.calcium,
        sodium=totals.sodium + mmol_l * effect.sodium,
        chloride=totals.chloride + mmol_l * effect.chloride,
        sulfate=totals.sulfate + mmol_l * effect.sulfate,
        chlorine=max(0.0, totals.chlorine + mmol_l * effect.chlorine),
        bromine=totals.bromine + mmol_l * effect.bromine,
        cyanurate=totals.cyanurate + mmol_l * effect.cyanurate,
        boron=totals.boron + mmol_l * effect.boron,
        peroxide=totals.peroxide + mmol_l * effect.peroxide,
    )


def chlorine_used(totals: Totals, mg_l: float) -> Totals:
    """Return the totals once some free chlorine has become chloride.

    HOCl -> Cl- + H+: each mole used takes one equivalent of alkalinity, so hypochlorite ends
    neutral. No more is used than is there.

    Parameters
    ----------
    mg_l
        [mg/L as Cl2], 0..10000

    Raises
    ------
    OutOfRangeError
        If it lies outside its range.
    """
    check("mg_l", mg_l, 0.0, HIGHEST_DOSE_MG_L)
    used = min(mg_l / masses.CHLORINE, totals.chlorine)
    return replace(
        totals,
        chlorine=totals.chlorine - used,
        chloride=totals.chloride + used,
        alkalinity=totals.alkalinity - used,
    )


def peroxide_against_chlorine(totals: Totals) -> Totals:
    """Return the totals after peroxide and chlorine, in one water, have destroyed each other.

    HOCl + H2O2 -> H+ + Cl- + O2 + H2O: 0.48 mg of peroxide ends 1 mg of chlorine.
    """
    gone = min(totals.chlorine, totals.peroxide)
    left = chlorine_used(totals, gone * masses.CHLORINE)
    return replace(left, peroxide=totals.peroxide - gone)


def neutralised(totals: Totals, compound: Compound, mg_l: float) -> Totals:
    """Return the totals after a reducing agent has met what chlorine there was.

    Agent left over stays as it is and is not counted.

    Parameters
    ----------
    mg_l
        Of the pure agent. [mg/L], 0..10000

    Raises
    ------
    OutOfRangeError
        If the dose lies outside its range.

    References
    ----------
    As `dosed`.
    """
    check("mg_l", mg_l, 0.0, HIGHEST_DOSE_MG_L)
    effect = EFFECTS[compound]
    enough = totals.chlorine / -effect.chlorine * effect.molar_mass if effect.chlorine < 0.0 else 0
    return dosed(totals, compound, min(mg_l, enough))
