"""Worked examples with published answers; the source stands beside each."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.reference.water.handbook_forms import factor_table_value, short_form_ph
from tubcare.water.activity import log_gamma_monovalent
from tubcare.water.balance import active_chlorine, balance, totals_of
from tubcare.water.combined import combined_chlorine
from tubcare.water.compounds import EFFECTS, Compound, chlorine_used, shifted
from tubcare.water.equilibria import CyanurateSet, constants_at
from tubcare.water.equilibrium import at_rest_with_air
from tubcare.water.masses import CALCIUM_CARBONATE, CHLORINE, CYANURIC_ACID, H, N
from tubcare.water.products import usual_product
from tubcare.water.reading import WaterTest
from tubcare.water.speciation import frame_at, medium_at


@pytest.mark.parametrize(
    ("ph", "water_f", "calcium", "alkalinity", "published"),
    [(7.0, 76, 200, 50, -0.9), (7.6, 84, 300, 75, 0.2), (8.0, 94, 400, 150, 1.1)],
)
def test_operator_training_problems(
    ph: float, water_f: float, calcium: float, alkalinity: float, published: float
) -> None:
    """Pool operator training problems solved with the factor table of Montana ARM 37.115."""
    found = factor_table_value(
        ph=ph, water_f=water_f, calcium_mg_l=calcium, alkalinity_mg_l=alkalinity, tds_mg_l=500
    )
    assert found == pytest.approx(published, abs=0.05)


def test_the_cooling_water_example() -> None:
    """UFC 3-240-13FN (2005), Examples B-1 and B-2: TDS 1000, Ca 500, TA 100, 120 °F, pH 8.2.

    The document takes B = 1.57 from its table where its own formula gives 1.65.
    """
    water_c = (120 - 32) / 1.8
    by_formula = short_form_ph(
        water_c=water_c, calcium_mg_l=500, alkalinity_mg_l=100, tds_mg_l=1000
    )
    saturation_ph = by_formula - (34.55 - 13.12 * math.log10(water_c + 273.15)) + 1.57
    assert saturation_ph == pytest.approx(6.77, abs=0.005)
    assert 8.2 - saturation_ph == pytest.approx(1.43, abs=0.005)


@pytest.mark.parametrize(
    ("ph", "water_f", "calcium", "alkalinity", "index"),
    [(7.0, 76, 200, 50, -0.82), (7.6, 84, 300, 75, 0.19), (8.0, 94, 400, 150, 1.05)],
)
def test_in_warm_water_the_full_balance_agrees_with_the_operator_problems(
    ph: float, water_f: float, calcium: float, alkalinity: float, index: float
) -> None:
    """The same problems by thermodynamics, dissolved solids taken as 500 mg/L: they state none."""
    test = WaterTest(
        water_c=(water_f - 32) / 1.8,
        ph=ph,
        alkalinity_mg_l=alkalinity,
        calcium_mg_l=calcium,
        tds_mg_l=500,
    )
    assert balance(test).saturation_index == pytest.approx(index, abs=0.035)


def test_the_standard_methods_activity_sheet() -> None:
    """Standard Methods 2330 B worked at I 0.0091 and 10 °C: slope A, log10 of the coefficient."""
    slope = constants_at(10).debye_a
    assert slope == pytest.approx(0.498189150, rel=1e-8)
    one = log_gamma_monovalent(slope, 0.0091)
    assert one == pytest.approx(-0.0420254464, rel=1e-8)
    assert 4 * one == pytest.approx(-0.1681017857, rel=1e-8)
    assert 10**one == pytest.approx(0.907767340, rel=1e-8)
    assert 10 ** (4 * one) == pytest.approx(0.679044466, rel=1e-8)


@pytest.mark.parametrize(
    ("water_c", "published"),
    [(0, 6.58), (5, 6.52), (10, 6.47), (15, 6.42), (20, 6.38), (25, 6.35), (30, 6.33)],
)
def test_the_first_dissociation_of_carbonic_acid(water_c: float, published: float) -> None:
    """Handbook values of pK1 (two decimals)."""
    assert -math.log10(constants_at(water_c).k1) == pytest.approx(published, abs=0.008)


@pytest.mark.parametrize(
    ("water_c", "published"),
    [
        (0, 1.50),
        (5, 1.76),
        (10, 2.04),
        (15, 2.32),
        (20, 2.62),
        (25, 2.90),
        (30, 3.18),
        (35, 3.44),
    ],
)
def test_the_table_of_hypochlorous_acid(water_c: float, published: float) -> None:
    """Morris 1966, J. Phys. Chem. 70:3798: Ka x 1e8 (table from memory)."""
    assert 1e8 * constants_at(water_c).k_hocl == pytest.approx(published, abs=0.012)


@pytest.mark.parametrize(
    ("water_c", "shares"),
    [
        (0, (87.0, 72.7, 51.4, 40.1)),
        (5, (85.0, 69.3, 47.4, 36.2)),
        (10, (83.1, 66.1, 43.7, 32.9)),
        (15, (81.1, 63.1, 40.5, 30.0)),
        (25, (77.5, 57.8, 35.3, 25.6)),
    ],
)
def test_the_share_of_hypochlorous_acid(water_c: float, shares: tuple[float, ...]) -> None:
    """Per cent HOCl at I = 0 and pH 7.0, 7.4, 7.8, 8.0: the equation of Morris 1966."""
    medium = medium_at(constants_at(water_c), 0.0, 0.0)
    for ph, share in zip((7.0, 7.4, 7.8, 8.0), shares, strict=True):
        found = 100 / (1 + frame_at(medium, ph).hypochlorite_ratio)
        assert found == pytest.approx(share, abs=0.1)


def test_ninety_per_cent_hypochlorous_acid_by_the_older_constant() -> None:
    """Textbook question: Ka 2.7e-8 at 20 °C (White's Handbook, from memory): pH 6.61.

    Morris 1966, which we use, puts it at 6.63.
    """
    older = replace(constants_at(20.0), k_hocl=2.7e-8)
    for constants, ph in ((older, 6.61), (constants_at(20.0), 6.63)):
        found = frame_at(medium_at(constants, 0.0, 0.0), ph).hypochlorite_ratio
        assert 1 / (1 + found) == pytest.approx(0.90, abs=0.002)


@pytest.mark.parametrize(("water_c", "published"), [(25, 0.90), (5, 0.60)])
def test_free_chlorine_left_by_dichlor(water_c: float, published: float) -> None:
    """Wahman & Alexander 2019, abstract: 2 mg/L of chlorine from dichlor at pH 7.0."""
    state = balance(
        WaterTest(
            water_c=water_c,
            ph=7.0,
            alkalinity_mg_l=20,
            calcium_mg_l=10,
            free_chlorine_mg_l=2.0,
            cyanuric_acid_mg_l=2.0 * 0.91026,
        )
    )
    free = (state.species.hypochlorous_acid + state.species.hypochlorite) * CHLORINE
    assert free == pytest.approx(published, rel=0.05)


def test_cyanurate_constants_at_25_degrees() -> None:
    """Wahman & Alexander 2019, abstract: pK7a 4.65 ± 0.06, pK9a 5.83 ± 0.02."""
    found = constants_at(25)
    assert -math.log10(found.k_cy7) == pytest.approx(4.65, abs=0.01)
    assert -math.log10(found.k_cy9) == pytest.approx(5.83, abs=0.01)


def test_cyanurate_constants_of_1974_at_25_degrees() -> None:
    """O'Brien, Morris & Butler 1974 (numbers from memory): 6.88, 5.62, 4.51."""
    found = constants_at(25, cyanurate=CyanurateSet.OBRIEN)
    assert -math.log10(found.k_cy6) == pytest.approx(6.88, abs=0.001)
    assert -math.log10(found.k_cy9) == pytest.approx(5.62, abs=0.001)
    assert -math.log10(found.k_cy7) == pytest.approx(4.51, abs=0.001)


def test_both_cyanurate_sets_show_in_the_range() -> None:
    """Free chlorine 3, cyanurate 30, pH 7.4, 25 °C: HOCl 0.045 (set of 1974), 0.030 (2019)."""
    found = active_chlorine(
        balance(
            WaterTest(
                water_c=25,
                ph=7.4,
                alkalinity_mg_l=80,
                calcium_mg_l=100,
                tds_mg_l=300,
                free_chlorine_mg_l=3,
                cyanuric_acid_mg_l=30,
            )
        )
    )
    assert found.low_mg_l == pytest.approx(0.030, abs=0.001)
    assert found.high_mg_l == pytest.approx(0.045, abs=0.002)
    assert not found.extrapolated


def test_the_cyanurate_anion_doubles_from_5_to_35_degrees() -> None:
    """Wahman 2018, abstract: the share of H2Cy- at pH 7 'effectively doubles'."""
    shares = [1 / (1 + 10**-7.0 / constants_at(t).k_cy6) for t in (5.0, 35.0)]
    assert shares[1] / shares[0] == pytest.approx(2.0, rel=0.1)


def test_carbonate_constants_of_pure_water_at_25_degrees() -> None:
    """Plummer & Busenberg 1982 and Standard Methods 2330: pKs 8.48, pK2 10.33, pKw 14.00."""
    found = constants_at(25)
    assert found.pks == pytest.approx(8.48, abs=0.005)
    assert -math.log10(found.k2) == pytest.approx(10.33, abs=0.005)
    assert -math.log10(found.kw) == pytest.approx(14.00, abs=0.01)


def test_boric_acid_over_temperature() -> None:
    """Owen 1934 / Manov 1944 (from memory): pKa 9.24 at 25 °C, 9.44 at 5 °C."""
    assert -math.log10(constants_at(25).k_boric) == pytest.approx(9.24, abs=0.01)
    assert -math.log10(constants_at(5).k_boric) == pytest.approx(9.44, abs=0.01)


def test_hypobromous_acid_is_weaker_in_the_cold() -> None:
    """Haag & Hoigné 1983 (from memory): pKa 8.65 at 25 °C, about 8.9 at 5 °C."""
    assert -math.log10(constants_at(25).k_hobr) == pytest.approx(8.65, abs=0.01)
    assert -math.log10(constants_at(5).k_hobr) == pytest.approx(8.9, abs=0.01)


def test_thiosulfate_by_the_titration_reaction() -> None:
    """Hach method TE213: 7.0 mg of the pentahydrate per mg of chlorine (tetrathionate end)."""
    pentahydrate = EFFECTS[Compound.THIOSULFATE_PENTAHYDRATE].molar_mass
    assert 2 * pentahydrate / CHLORINE == pytest.approx(7.0, abs=0.01)


def test_the_breakpoint_ratio() -> None:
    """Weiner, Applications of Environmental Aquatic Chemistry, ch. 4: 7.6 mg Cl2 per mg N."""
    # One mg of nitrogen as monochloramine reads as so much combined chlorine; half as much again
    # ends it, and alkalinity goes: about 11 mg per mg of nitrogen with chlorine gas.
    combined = CHLORINE / N
    found = combined_chlorine(
        free_mg_l=0.0, total_mg_l=combined, limit_mg_l=0.2, highest_free_mg_l=5.0
    )
    assert combined == pytest.approx(5.06, abs=0.01)
    assert combined + found.least_dose_mg_l == pytest.approx(7.6, abs=0.01)
    gas = EFFECTS[Compound.CHLORINE_GAS]
    used = 1.5 * (gas.alkalinity - gas.chlorine) * CALCIUM_CARBONATE / 2 / N
    assert used == pytest.approx(-10.7, abs=0.05)


def test_cyanurate_from_one_milligram_of_chlorine() -> None:
    """Wahman & Alexander 2019: 0.89 (dichlor) and 0.59 (trichlor) counted as Cy, 126.05 g/mol."""
    for compound, published in ((Compound.DICHLOR, 0.89), (Compound.TRICHLOR, 0.59)):
        effect = EFFECTS[compound]
        as_cy = effect.cyanurate * (CYANURIC_ACID - 3 * H) / (effect.chlorine * CHLORINE)
        assert as_cy == pytest.approx(published, abs=0.005)


def test_the_mass_of_calcium_carbonate() -> None:
    """Standard Methods 2340: 1 meq/L is 50.04 mg/L as CaCO3."""
    assert pytest.approx(50.04, abs=0.005) == CALCIUM_CARBONATE / 2


@pytest.mark.parametrize(("water_c", "share"), [(0, 0.17), (5, 0.20), (10, 0.22), (25, 0.28)])
def test_cyanurate_takes_a_smaller_share_of_the_alkalinity_in_the_cold(
    water_c: float, share: float
) -> None:
    """Wahman 2018 at pH 7.4: mg CaCO3 per mg of cyanuric acid, where practice takes a third."""
    state = balance(
        WaterTest(
            water_c=water_c, ph=7.4, alkalinity_mg_l=80, calcium_mg_l=100, cyanuric_acid_mg_l=50
        )
    )
    # Worked at infinite dilution; ions help the anion a little.
    assert state.species.cyanurate * CALCIUM_CARBONATE / 2 / 50 == pytest.approx(share, abs=0.02)


def test_bleach_every_day_brings_chloride_to_200_in_85_days() -> None:
    """Stoichiometry: bleach leaves 1 mg/L of chloride per mg/L of chlorine, once that is used."""
    totals = totals_of(
        WaterTest(water_c=5, ph=7.4, alkalinity_mg_l=60, calcium_mg_l=80, chloride_mg_l=30)
    )
    bleach = usual_product(Compound.SODIUM_HYPOCHLORITE)
    for _ in range(85):
        dosed_ = shifted(totals, bleach.effect, 2.0 / CHLORINE)
        totals = chlorine_used(dosed_, 2.0)
    assert totals.chloride_mg_l == pytest.approx(200.0, abs=1.0)
    assert totals.alkalinity_mg_l == pytest.approx(60.0)


@pytest.mark.parametrize(
    ("alkalinity", "calcium", "solids", "published"),
    [(20, 20, 100, 7.67), (60, 80, 200, 8.13), (100, 120, 300, 8.34), (180, 250, 500, 8.57)],
)
def test_the_ph_at_rest_with_air_at_5_degrees(
    alkalinity: float, calcium: float, solids: float, published: float
) -> None:
    """PHREEQC at 420 ppm of carbon dioxide: an open cold tub drifts there."""
    totals = totals_of(
        WaterTest(
            water_c=5, ph=7.4, alkalinity_mg_l=alkalinity, calcium_mg_l=calcium, tds_mg_l=solids
        )
    )
    assert at_rest_with_air(totals, water_c=5)[0] == pytest.approx(published, abs=0.01)
