"""Worked examples with published answers; the source stands beside each."""

from __future__ import annotations

import math

import pytest

from tubcare.water.activity import log_gamma_monovalent
from tubcare.water.balance import active_chlorine, balance
from tubcare.water.compounds import EFFECTS, Compound
from tubcare.water.equilibria import CyanurateSet, constants_at
from tubcare.water.masses import CALCIUM_CARBONATE, CHLORINE, CYANURIC_ACID, H, N
from tubcare.water.reading import WaterTest
from tubcare.water.saturation import (
    factor_table_value,
    puckorius_index,
    ryznar_index,
    short_form_ph,
)


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

    The document takes B = 1.57 from its table, its own formula gives 1.65: hence 0.1.
    """
    saturation_ph = short_form_ph(
        water_c=(120 - 32) / 1.8, calcium_mg_l=500, alkalinity_mg_l=100, tds_mg_l=1000
    )
    assert saturation_ph == pytest.approx(6.77, abs=0.1)
    assert pytest.approx(1.43) == 8.2 - 6.77
    assert ryznar_index(saturation_ph=6.77, ph=8.2) == pytest.approx(5.34, abs=0.005)
    # pHeq 7.47 by their table; the printed formula gives 7.51.
    assert puckorius_index(saturation_ph=6.77, alkalinity_mg_l=100) == pytest.approx(
        6.07, abs=0.05
    )


def test_the_standard_methods_activity_sheet() -> None:
    """Standard Methods 2330 B worked at I 0.0091 and 10 °C: slope A, log10 of the coefficient."""
    slope = constants_at(10).debye_a
    assert slope == pytest.approx(0.498189150, rel=1e-8)
    assert log_gamma_monovalent(slope, 0.0091) == pytest.approx(-0.0420254464, rel=1e-8)


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
    pka = -math.log10(constants_at(water_c).k_hocl)
    for ph, share in zip((7.0, 7.4, 7.8, 8.0), shares, strict=True):
        assert 100 / (1 + 10 ** (ph - pka)) == pytest.approx(share, abs=0.1)


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
    assert pytest.approx(7.6, abs=0.01) == 1.5 * CHLORINE / N


def test_cyanurate_from_one_milligram_of_chlorine() -> None:
    """Wahman & Alexander 2019: 0.89 (dichlor) and 0.59 (trichlor) counted as Cy, 126.05 g/mol."""
    for compound, published in ((Compound.DICHLOR, 0.89), (Compound.TRICHLOR, 0.59)):
        effect = EFFECTS[compound]
        as_cy = effect.cyanurate * (CYANURIC_ACID - 3 * H) / (effect.chlorine * CHLORINE)
        assert as_cy == pytest.approx(published, abs=0.005)


def test_the_mass_of_calcium_carbonate() -> None:
    """Standard Methods 2340: 1 meq/L is 50.04 mg/L as CaCO3."""
    assert pytest.approx(50.04, abs=0.005) == CALCIUM_CARBONATE / 2
