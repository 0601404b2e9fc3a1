"""The full balance of one reading: species, carbon, saturation index, active chlorine."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tubcare.water import masses
from tubcare.water.equilibria import (
    CYANURATE_LOWEST_C,
    CyanurateSet,
    constants_at,
)
from tubcare.water.equilibrium import (
    HIGHEST_PH,
    LOWEST_PH,
    carbon_in_frame,
    medium_of,
    solve_ph,
)
from tubcare.water.limits import check
from tubcare.water.reading import Totals, WaterTest, background_salts
from tubcare.water.speciation import (
    Frame,
    Medium,
    bicarbonate_from_carbon,
    chlorine_species,
    frame_at,
    free_calcium,
)

_R_KJ = 8.314462618e-3
_T25_K = 298.15
# Published standard deviations of the enthalpies of pK7a, pK9a (Wahman & Alexander 2019), kJ/mol.
_ENTHALPY_SPREAD_KJ = 6.0 + 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Species:
    """Concentration of every species. All in mmol/L."""

    hydrogen: float
    hydroxide: float
    carbon_dioxide: float
    bicarbonate: float
    carbonate: float
    sodium_bicarbonate: float
    sodium_carbonate: float
    calcium: float
    calcium_bicarbonate: float
    calcium_carbonate: float
    hypochlorous_acid: float
    hypochlorite: float
    cyanuric_acid: float
    cyanurate: float
    monochlorocyanurate: float
    dichlorocyanurate: float
    hypobromous_acid: float
    hypobromite: float
    boric_acid: float
    borate: float
    chloride: float

    @property
    def alkalinity(self) -> float:
        """Alkalinity summed over the species [meq/L]."""
        return (
            self.bicarbonate
            + 2.0 * self.carbonate
            + self.sodium_bicarbonate
            + 2.0 * self.sodium_carbonate
            + self.calcium_bicarbonate
            + 2.0 * self.calcium_carbonate
            + self.hydroxide
            - self.hydrogen
            + self.hypochlorite
            + self.cyanurate
            + self.monochlorocyanurate
            + self.dichlorocyanurate
            + self.hypobromite
            + self.borate
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """What the chemistry says about one water.

    Attributes
    ----------
    water_c, ph
        Temperature [°C] and pH at that temperature. [-]
    totals, species
        Conserved totals and species. [mmol/L]
    ionic_strength
        [mol/L]
    saturation_index
        Of calcite; above 0 it may deposit, below 0 it dissolves. Reputable databases differ by up
        to 0.15, so show one decimal. [-]
    log_pco2
        log10 of the carbon dioxide pressure the water is in balance with. [log10 atm]
    hocl_fraction
        Share of HOCl in HOCl + OCl-. [-]
    hocl_mg_l
        Hypochlorous acid, the part that disinfects. [mg/L as Cl2]
    """

    water_c: float
    ph: float
    totals: Totals
    species: Species
    ionic_strength: float
    saturation_index: float
    log_pco2: float
    hocl_fraction: float
    hocl_mg_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ActiveChlorine:
    """Hypochlorous acid under cyanurate, with the spread between published constants.

    `extrapolated` is True below 5 °C with cyanurate present, where nobody measured: the range is
    then widened by the published uncertainty of the enthalpies. [mg/L as Cl2]
    """

    hocl_mg_l: float
    low_mg_l: float
    high_mg_l: float
    extrapolated: bool


def totals_of(test: WaterTest) -> Totals:
    """Return the conserved totals [mmol/L] behind a test.

    Raises
    ------
    InputError
        If the alkalinity is less than the test's other values already carry.
    """
    constants = constants_at(test.water_c)
    open_totals = _totals_but_carbon(test)
    frame = frame_at(medium_of(open_totals, constants), test.ph)
    return _with_carbon(open_totals, carbon_in_frame(open_totals, frame))


def balance(test: WaterTest) -> Balance:
    """Return the full balance of a test.

    Raises
    ------
    InputError
        If the alkalinity is less than the test's other values already carry.

    References
    ----------
    Constants: see `tubcare.water.equilibria`; activity: `tubcare.water.activity`; algebra:
    `tubcare.water.speciation`.
    """
    constants = constants_at(test.water_c)
    open_totals = _totals_but_carbon(test)
    medium = medium_of(open_totals, constants)
    frame = frame_at(medium, test.ph)
    totals = _with_carbon(open_totals, carbon_in_frame(open_totals, frame))
    return _balance_in_frame(totals, medium, frame, test.water_c, test.ph)


def balance_of(totals: Totals, *, water_c: float, ph: float | None = None) -> Balance:
    """Return the full balance of conserved totals [mmol/L], solving the pH unless it is known.

    Parameters
    ----------
    water_c
        [°C], 0..35
    ph
        Where it is known. [-], 2..12

    Raises
    ------
    OutOfRangeError
        If an input lies outside its range, or no pH between 2 and 12 fits.
    """
    at_ph = solve_ph(totals, water_c=water_c) if ph is None else ph
    check("ph", at_ph, LOWEST_PH, HIGHEST_PH)
    constants = constants_at(water_c)
    medium = medium_of(totals, constants)
    return _balance_in_frame(totals, medium, frame_at(medium, at_ph), water_c, at_ph)


def reading_of(state: Balance) -> WaterTest:
    """Return the test that would read this balance."""
    totals = state.totals
    return WaterTest(
        water_c=state.water_c,
        ph=state.ph,
        alkalinity_mg_l=max(0.0, totals.alkalinity_mg_l),
        calcium_mg_l=totals.calcium_mg_l,
        tds_mg_l=totals.dissolved_solids_mg_l,
        chloride_mg_l=max(0.0, totals.chloride_mg_l),
        free_chlorine_mg_l=max(0.0, totals.free_chlorine_mg_l),
        bromine_mg_l=max(0.0, totals.bromine_mg_l),
        cyanuric_acid_mg_l=totals.cyanuric_acid_mg_l,
        boron_mg_l=totals.boron * masses.B,
        peroxide_mg_l=max(0.0, totals.peroxide_mg_l),
    )


def active_chlorine(state: Balance) -> ActiveChlorine:
    """Return the hypochlorous acid with its range over the published cyanurate constants.

    References
    ----------
    Wahman & Alexander 2019 as the value; O'Brien, Morris & Butler 1974 as the other end; below
    5 °C the enthalpies' published spread is added (own choice).
    """
    if state.totals.cyanurate <= 0.0 or state.totals.chlorine <= 0.0:
        value = state.hocl_mg_l
        return ActiveChlorine(hocl_mg_l=value, low_mg_l=value, high_mg_l=value, extrapolated=False)
    other = constants_at(state.water_c, cyanurate=CyanurateSet.OBRIEN)
    frame = frame_at(medium_of(state.totals, other), state.ph)
    species = chlorine_species(frame, state.totals.chlorine * 1e-3, state.totals.cyanurate * 1e-3)
    second = 1e3 * species.hocl * masses.CHLORINE
    low, high = min(state.hocl_mg_l, second), max(state.hocl_mg_l, second)
    extrapolated = state.water_c < CYANURATE_LOWEST_C
    if extrapolated:
        away = 1.0 / (state.water_c + 273.15) - 1.0 / _T25_K
        factor = math.exp(_ENTHALPY_SPREAD_KJ / _R_KJ * away / 2.0)
        low, high = low / factor, high * factor
    return ActiveChlorine(
        hocl_mg_l=state.hocl_mg_l,
        low_mg_l=low,
        high_mg_l=min(high, state.totals.free_chlorine_mg_l * state.hocl_fraction),
        extrapolated=extrapolated,
    )


def _totals_but_carbon(test: WaterTest) -> Totals:
    """Return the totals of a test with the carbon still open."""
    sodium, chloride = background_salts(test)
    return Totals(
        alkalinity=test.alkalinity_mg_l / masses.ALKALINITY_EQUIVALENT,
        carbon=0.0,
        calcium=test.calcium_mg_l / masses.CALCIUM_CARBONATE,
        sodium=sodium,
        chloride=chloride,
        chlorine=test.free_chlorine_mg_l / masses.CHLORINE,
        bromine=test.bromine_mg_l / masses.BROMINE,
        cyanurate=test.cyanuric_acid_mg_l / masses.CYANURIC_ACID,
        boron=test.boron_mg_l / masses.B,
        peroxide=test.peroxide_mg_l / masses.HYDROGEN_PEROXIDE,
    )


def _with_carbon(totals: Totals, carbon: float) -> Totals:
    """Return the totals with their carbon filled in."""
    return Totals(
        alkalinity=totals.alkalinity,
        carbon=carbon,
        calcium=totals.calcium,
        sodium=totals.sodium,
        chloride=totals.chloride,
        sulfate=totals.sulfate,
        chlorine=totals.chlorine,
        bromine=totals.bromine,
        cyanurate=totals.cyanurate,
        boron=totals.boron,
        peroxide=totals.peroxide,
    )


def _species(totals: Totals, frame: Frame[float]) -> Species:
    """Return every species of totals that stand at the frame's pH."""
    calcium = totals.calcium * 1e-3
    x = bicarbonate_from_carbon(frame, totals.carbon * 1e-3, calcium)
    unbound = free_calcium(frame, x, calcium)
    chlorine = chlorine_species(frame, totals.chlorine * 1e-3, totals.cyanurate * 1e-3)
    hypobromous = totals.bromine / (1.0 + frame.hypobromite_ratio)
    boric = totals.boron / (1.0 + frame.borate_ratio)
    return Species(
        hydrogen=1e3 * frame.hydrogen,
        hydroxide=1e3 * frame.hydroxide,
        carbon_dioxide=1e3 * x * frame.co2_ratio,
        bicarbonate=1e3 * x,
        carbonate=1e3 * x * frame.co3_ratio,
        sodium_bicarbonate=1e3 * x * (frame.bicarbonate_sum - 1.0),
        sodium_carbonate=1e3 * x * (frame.carbonate_sum - frame.co3_ratio),
        calcium=1e3 * unbound,
        calcium_bicarbonate=1e3 * x * unbound * frame.pair_bicarbonate,
        calcium_carbonate=1e3 * x * unbound * frame.pair_carbonate,
        hypochlorous_acid=1e3 * chlorine.hocl,
        hypochlorite=1e3 * chlorine.ocl,
        cyanuric_acid=1e3 * chlorine.h3cy,
        cyanurate=1e3 * chlorine.h2cy,
        monochlorocyanurate=1e3 * chlorine.hclcy,
        dichlorocyanurate=1e3 * chlorine.cl2cy,
        hypobromous_acid=hypobromous,
        hypobromite=hypobromous * frame.hypobromite_ratio,
        boric_acid=boric,
        borate=boric * frame.borate_ratio,
        chloride=totals.chloride,
    )


def _balance_in_frame(
    totals: Totals, medium: Medium[float], frame: Frame[float], water_c: float, ph: float
) -> Balance:
    """Return the balance of totals that stand at the frame's pH."""
    constants, gamma = medium.constants, medium.activities
    species = _species(totals, frame)
    product = species.calcium * species.carbonate * 1e-6 * gamma.calcium * gamma.carbonate
    return Balance(
        water_c=water_c,
        ph=ph,
        totals=totals,
        species=species,
        ionic_strength=totals.ionic_strength,
        saturation_index=math.log10(product) + constants.pks if product > 0.0 else -math.inf,
        log_pco2=(
            math.log10(species.carbon_dioxide * 1e-3 * gamma.neutral / constants.kh)
            if species.carbon_dioxide > 0.0
            else -math.inf
        ),
        hocl_fraction=1.0 / (1.0 + frame.hypochlorite_ratio),
        hocl_mg_l=species.hypochlorous_acid * masses.CHLORINE,
    )
