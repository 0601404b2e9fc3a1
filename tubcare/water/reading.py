"""What a person measures, and the conserved totals behind it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.errors import OutOfRangeError
from tubcare.water import masses
from tubcare.water.equilibria import check_temperature
from tubcare.water.limits import check

if TYPE_CHECKING:
    from collections.abc import Mapping

# Beyond these the formulas do not hold (Davies: I <= 0.5 mol/L) or the meter is broken.
FIELD_LIMITS: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {
        "ph": (4.0, 11.0),
        "alkalinity_mg_l": (0.0, 1000.0),
        "calcium_mg_l": (0.0, 2500.0),
        "tds_mg_l": (0.0, 10_000.0),
        "chloride_mg_l": (0.0, 6000.0),
        "free_chlorine_mg_l": (0.0, 100.0),
        "total_chlorine_mg_l": (0.0, 100.0),
        "bromine_mg_l": (0.0, 100.0),
        "cyanuric_acid_mg_l": (0.0, 500.0),
        "boron_mg_l": (0.0, 100.0),
        "peroxide_mg_l": (0.0, 500.0),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterTest:
    """One test of the water, in the units of the calculation.

    Attributes
    ----------
    water_c
        Temperature of the water in the tub. [°C], 0..35
    ph
        At the water's own temperature; a sample warmed indoors: `tubcare.water.sample`. [-]
    alkalinity_mg_l
        Total alkalinity as CaCO3, as titrated (OCl- and cyanurate included). [mg/L]
    calcium_mg_l
        Calcium hardness as CaCO3. [mg/L]
    tds_mg_l
        Total dissolved solids; None counts only what alkalinity and hardness imply. [mg/L]
    chloride_mg_l
        Chloride; None takes the rest of the dissolved solids for common salt. [mg/L]
    free_chlorine_mg_l
        As read by DPD or strip: cyanurate-bound chlorine included. [mg/L as Cl2]
    total_chlorine_mg_l
        Free and combined. [mg/L as Cl2]
    bromine_mg_l
        [mg/L as Br2]
    cyanuric_acid_mg_l, boron_mg_l, peroxide_mg_l
        Cyanuric acid; boron as B; hydrogen peroxide. [mg/L]
    """

    water_c: float
    ph: float
    alkalinity_mg_l: float
    calcium_mg_l: float
    tds_mg_l: float | None = None
    chloride_mg_l: float | None = None
    free_chlorine_mg_l: float = 0.0
    total_chlorine_mg_l: float | None = None
    bromine_mg_l: float = 0.0
    cyanuric_acid_mg_l: float = 0.0
    boron_mg_l: float = 0.0
    peroxide_mg_l: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what no formula holds for."""
        check_temperature("water_c", self.water_c)
        for name, (low, high) in FIELD_LIMITS.items():
            value: float | None = getattr(self, name)
            if value is not None and not low <= value <= high:
                raise OutOfRangeError(name, value, low, high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """What mixing adds up and equilibrium keeps. All in mmol/L; alkalinity in meq/L.

    Alkalinity is the strong-ion sum: OCl-, OBr-, B(OH)4- and the cyanurate anions count in it,
    HOCl, HOBr, B(OH)3 and H3Cy are its zero level.
    """

    alkalinity: float
    carbon: float
    calcium: float
    sodium: float = 0.0
    chloride: float = 0.0
    sulfate: float = 0.0
    chlorine: float = 0.0
    bromine: float = 0.0
    cyanurate: float = 0.0
    boron: float = 0.0
    peroxide: float = 0.0

    def moved(
        self,
        *,
        alkalinity: float = 0.0,
        carbon: float = 0.0,
        calcium: float = 0.0,
        chloride: float = 0.0,
    ) -> Totals:
        """Return the totals with these amounts [mmol/L, meq/L] added."""
        return replace(
            self,
            alkalinity=self.alkalinity + alkalinity,
            carbon=self.carbon + carbon,
            calcium=self.calcium + calcium,
            chloride=self.chloride + chloride,
        )

    @property
    def ionic_strength(self) -> float:
        """Ionic strength, the alkalinity counted as an anion of charge one [mol/L]."""
        return 0.0005 * (
            4.0 * max(0.0, self.calcium)
            + abs(self.alkalinity)
            + max(0.0, self.sodium)
            + max(0.0, self.chloride)
            + 4.0 * max(0.0, self.sulfate)
        )

    @property
    def dissolved_solids_mg_l(self) -> float:
        """Sum of the ions, the alkalinity counted as bicarbonate [mg/L]."""
        return (
            self.calcium * masses.CA
            + max(0.0, self.alkalinity) * masses.BICARBONATE
            + self.sodium * masses.NA
            + self.chloride * masses.CL
            + self.sulfate * masses.SULFATE
            + self.cyanurate * masses.CYANURIC_ACID
        )

    @property
    def alkalinity_mg_l(self) -> float:
        """Total alkalinity as CaCO3 [mg/L]."""
        return self.alkalinity * masses.ALKALINITY_EQUIVALENT

    @property
    def calcium_mg_l(self) -> float:
        """Calcium hardness as CaCO3 [mg/L]."""
        return self.calcium * masses.CALCIUM_CARBONATE

    @property
    def chloride_mg_l(self) -> float:
        """Chloride [mg/L]."""
        return self.chloride * masses.CL

    @property
    def free_chlorine_mg_l(self) -> float:
        """Free chlorine as a DPD test reads it [mg/L as Cl2]."""
        return self.chlorine * masses.CHLORINE

    @property
    def bromine_mg_l(self) -> float:
        """Bromine [mg/L as Br2]."""
        return self.bromine * masses.BROMINE

    @property
    def peroxide_mg_l(self) -> float:
        """Hydrogen peroxide [mg/L]."""
        return self.peroxide * masses.HYDROGEN_PEROXIDE

    @property
    def cyanuric_acid_mg_l(self) -> float:
        """Cyanuric acid, bound chlorine taken off [mg/L]."""
        return self.cyanurate * masses.CYANURIC_ACID


def background_salts(test: WaterTest) -> tuple[float, float]:
    """Return the sodium and chloride [mmol/L] that the test implies.

    Sodium or chloride first balances alkalinity against hardness; what is left of the dissolved
    solids counts as common salt. A measured chloride replaces that guess, sodium balancing it.

    References
    ----------
    Own derivation from electroneutrality; it puts the ionic strength of tub water 0-4 % high.
    """
    alkalinity = test.alkalinity_mg_l / masses.ALKALINITY_EQUIVALENT
    calcium = test.calcium_mg_l / masses.CALCIUM_CARBONATE
    gap = alkalinity - 2.0 * calcium
    if test.chloride_mg_l is not None:
        chloride = test.chloride_mg_l / masses.CL
        return max(0.0, gap + chloride), chloride
    sodium, chloride = (gap, 0.0) if gap > 0.0 else (0.0, -gap)
    if test.tds_mg_l is not None:
        implied = (
            calcium * masses.CA
            + alkalinity * masses.BICARBONATE
            + sodium * masses.NA
            + chloride * masses.CL
        )
        salt = max(0.0, test.tds_mg_l - implied) / masses.SODIUM_CHLORIDE
        sodium += salt
        chloride += salt
    return sodium, chloride


def mixed(first: Totals, second: Totals, share_of_second: float) -> Totals:
    """Return the totals of two waters mixed.

    Totals mix in proportion, pH does not: solve it afterwards.

    Parameters
    ----------
    share_of_second
        By volume. [-], 0..1

    Raises
    ------
    OutOfRangeError
        If the share lies outside its range.
    """
    check("share_of_second", share_of_second, 0.0, 1.0)
    kept = 1.0 - share_of_second
    return Totals(
        alkalinity=kept * first.alkalinity + share_of_second * second.alkalinity,
        carbon=kept * first.carbon + share_of_second * second.carbon,
        calcium=kept * first.calcium + share_of_second * second.calcium,
        sodium=kept * first.sodium + share_of_second * second.sodium,
        chloride=kept * first.chloride + share_of_second * second.chloride,
        sulfate=kept * first.sulfate + share_of_second * second.sulfate,
        chlorine=kept * first.chlorine + share_of_second * second.chlorine,
        bromine=kept * first.bromine + share_of_second * second.bromine,
        cyanurate=kept * first.cyanurate + share_of_second * second.cyanurate,
        boron=kept * first.boron + share_of_second * second.boron,
        peroxide=kept * first.peroxide + share_of_second * second.peroxide,
    )
