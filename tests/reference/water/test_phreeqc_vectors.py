"""Our balance against PHREEQC, group by group.

The carbonate constants, ion sizes and pairs are the same published ones; independent are the
solver, the full set of pairs (sulfate, CaOH+, ...), water's ion product and the charge balance.
Chlorine and cyanurate share the constants too. Tolerances are the spread that a plain Davies model
keeps to PHREEQC: SI 0.02, pH 0.005, carbon 0.5 %, dose 2 %,
alkalinity 0.01 mg/L, HOCl share 0.006, HOCl under cyanurate 0.5 %.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import tubcare
from tests.reference.water.cases import COMPOUNDS, Case, after_doses, case_test, group, ratios
from tests.reference.water.handbook_forms import (
    factor_table_index,
    short_form_index,
    standard_methods_index,
)
from tubcare.water.balance import Balance, balance, balance_of, totals_of
from tubcare.water.compounds import EFFECTS, dosed
from tubcare.water.equilibria import constants_at
from tubcare.water.equilibrium import at_rest_with_air
from tubcare.water.inverse import dose_to_ph
from tubcare.water.masses import ALKALINITY_EQUIVALENT, CALCIUM_CARBONATE, CHLORINE, CYANURIC_ACID
from tubcare.water.reading import mixed
from tubcare.water.sample import at_tub_temperature
from tubcare.water.saturation import precipitation_potential


def by_id(name: str) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("case", group(name), ids=repr)


def assert_agrees(state: Balance, case: Case) -> None:
    assert state.ph == pytest.approx(case.number("outputs.pH"), abs=0.005)
    assert state.saturation_index == pytest.approx(case.number("outputs.si_calcite"), abs=0.02)
    assert state.totals.carbon == pytest.approx(case.number("outputs.dic_mmolL"), rel=0.005)
    assert state.totals.alkalinity_mg_l == pytest.approx(
        case.number("outputs.alk_total_mgL_CaCO3"), abs=0.01
    )


@by_id("constants")
def test_constants_are_those_of_the_published_fits(case: Case) -> None:
    found = constants_at(case.number("T_C"))
    for ours, name in (
        (found.k1, "pK1"),
        (found.k2, "pK2"),
        (found.k_hocl, "pKa_HOCl"),
        (found.k_cy6, "pK6_H3Cy"),
    ):
        assert -math.log10(ours) == pytest.approx(case.number(name), abs=2e-4), name
    # phreeqc.dat rounds the Henry fit differently from the paper.
    assert -math.log10(found.kh) == pytest.approx(case.number("pKH_CO2"), abs=5e-4)
    assert found.pks == pytest.approx(case.number("pKs_calcite"), abs=1e-4)
    assert math.log10(found.k_cahco3) == pytest.approx(case.number("log_K_CaHCO3"), abs=3e-4)
    assert math.log10(found.k_caco3) == pytest.approx(case.number("log_K_CaCO3aq"), abs=3e-4)


@by_id("constants")
def test_the_ion_product_of_water_and_the_davies_slope_keep_to_another_fit(case: Case) -> None:
    found = constants_at(case.number("T_C"))
    assert -math.log10(found.kw) == pytest.approx(case.number("pKw"), abs=0.004)
    assert found.debye_a == pytest.approx(case.number("DH_A"), abs=0.002)


@by_id("balance")
def test_a_reading_balances_as_in_phreeqc(case: Case) -> None:
    state = balance(case_test(case, tds_mg_l=case.number("inputs.tds_sum_of_ions_mgL")))
    assert_agrees(state, case)
    assert state.hocl_fraction == pytest.approx(case.number("outputs.hocl_fraction"), abs=0.006)
    assert state.ionic_strength == pytest.approx(
        case.number("outputs.ionic_strength"), rel=0.05, abs=2e-4
    )
    assert state.log_pco2 == pytest.approx(case.number("outputs.log_pCO2"), abs=0.01)


@by_id("balance")
def test_species_are_those_of_phreeqc(case: Case) -> None:
    species = balance(case_test(case)).species
    assert species.bicarbonate == pytest.approx(case.number("outputs.hco3_mmolL"), rel=0.02)
    assert species.carbonate == pytest.approx(case.number("outputs.co3_mmolL"), rel=0.04)
    assert species.carbon_dioxide == pytest.approx(case.number("outputs.co2_mmolL"), rel=0.02)
    assert species.calcium_bicarbonate == pytest.approx(
        case.number("outputs.cahco3_mmolL"), rel=0.05
    )
    assert species.calcium_carbonate == pytest.approx(
        case.number("outputs.caco3aq_mmolL"), rel=0.05
    )


@by_id("balance")
def test_the_precipitation_potential_is_that_of_phreeqc(case: Case) -> None:
    totals = totals_of(case_test(case))
    found = precipitation_potential(totals, water_c=case.number("inputs.T_C"))
    assert found == pytest.approx(case.number("outputs.ccpp_mgL_CaCO3"), rel=0.02, abs=0.6)


@by_id("balance")
def test_standard_methods_as_printed_stays_within_its_known_error_of_our_index(
    case: Case,
) -> None:
    with_solids = case_test(case, tds_mg_l=case.number("inputs.tds_sum_of_ions_mgL"))
    ours = balance(case_test(case)).saturation_index
    assert standard_methods_index(with_solids) == pytest.approx(ours, abs=0.07)


@by_id("balance")
def test_handbook_forms_stay_within_their_known_error_of_our_index(case: Case) -> None:
    """The short form keeps to 0.35 of the full balance, the factor table to 0.65: a check only."""
    test = case_test(case, tds_mg_l=case.number("inputs.tds_sum_of_ions_mgL"))
    ours = balance(case_test(case)).saturation_index
    assert short_form_index(test) == pytest.approx(ours, abs=0.35)
    assert factor_table_index(test) == pytest.approx(ours, abs=0.65)


def test_handbook_forms_shout_corrosive_in_the_cold() -> None:
    """Mean of the cases up to 15 °C: both read 0.2-0.4 lower than thermodynamics."""
    cold = [case for case in group("balance") if case.number("inputs.T_C") <= 15.0]
    table, short = [], []
    for case in cold:
        test = case_test(case, tds_mg_l=case.number("inputs.tds_sum_of_ions_mgL"))
        index = balance(case_test(case)).saturation_index
        table.append(factor_table_index(test) - index)
        short.append(short_form_index(test) - index)
    assert sum(table) / len(cold) == pytest.approx(-0.30, abs=0.05)
    assert sum(short) / len(cold) == pytest.approx(-0.27, abs=0.05)


def test_no_part_of_the_product_decides_by_a_handbook_form() -> None:
    forms = ("factor_table", "short_form", "standard_methods_index", "ryznar", "puckorius")
    modules = [
        (path.name, path.read_text("utf-8").casefold())
        for path in Path(tubcare.__file__).parent.rglob("*.py")
    ]
    assert [name for name, text in modules if any(form in text for form in forms)] == []


@by_id("chlorine")
def test_chlorine_shares_itself_with_cyanurate_as_in_phreeqc(case: Case) -> None:
    state = balance(case_test(case))
    assert state.hocl_mg_l == pytest.approx(case.number("outputs.hocl_mgL_as_Cl2"), rel=0.005)
    assert state.totals.carbon == pytest.approx(case.number("outputs.dic_mmolL"), rel=0.005)
    species = state.species
    for ours, theirs in {
        "cyanuric_acid": "H3Cy",
        "cyanurate": "H2Cy_minus",
        "monochlorocyanurate": "HClCy_minus",
        "dichlorocyanurate": "Cl2Cy_minus",
    }.items():
        path = f"outputs.cyanurate_species_umolL.{theirs}"
        if path in case:
            expected = case.number(path) / 1000
            assert getattr(species, ours) == pytest.approx(expected, rel=0.01, abs=1e-9)


@by_id("dose")
def test_a_dose_reads_afterwards_as_in_phreeqc(case: Case) -> None:
    state = balance_of(after_doses(case), water_c=case.number("inputs.T_C"))
    assert_agrees(state, case)
    assert state.totals.calcium_mg_l == pytest.approx(
        case.number("outputs.ca_hardness_mgL_CaCO3"), abs=0.01
    )


@by_id("dose_inverse")
def test_the_dose_for_a_ph_is_that_of_phreeqc(case: Case) -> None:
    found = dose_to_ph(
        totals_of(case_test(case)),
        COMPOUNDS[case.text("inputs.product")],
        water_c=case.number("inputs.T_C"),
        target_ph=case.number("inputs.target_pH"),
    )
    assert found == pytest.approx(case.number("outputs.dose_mgL_pure"), rel=0.02)


@by_id("mix")
def test_a_partial_change_mixes_as_in_phreeqc(case: Case) -> None:
    water_c = case.number("inputs.T_C")
    tub, fill = (
        totals_of(case_test(case, f"inputs.{name}", water_c=water_c)) for name in ("tub", "fill")
    )
    share = case.number("inputs.fraction_replaced")
    assert_agrees(balance_of(mixed(tub, fill, share), water_c=water_c), case)


@by_id("aeration")
def test_a_water_at_rest_with_air_stands_as_in_phreeqc(case: Case) -> None:
    water_c = case.number("inputs.T_C")
    ph, totals = at_rest_with_air(
        totals_of(case_test(case)), water_c=water_c, co2_ppm=case.number("inputs.co2_ppm")
    )
    assert_agrees(balance_of(totals, water_c=water_c, ph=ph), case)


@by_id("sample_temperature")
def test_a_sample_read_warm_is_carried_to_the_tub_as_in_phreeqc(case: Case) -> None:
    read = case_test(
        case, water_c=case.number("inputs.T_tub_C"), ph=case.number("inputs.pH_measured")
    )
    corrected = at_tub_temperature(read, sample_c=case.number("inputs.T_measured_C"))
    assert_agrees(balance(corrected), case)


def test_available_chlorine_per_cent_is_that_of_the_molar_masses() -> None:
    for name, expected in ratios("available_chlorine_percent_pure").items():
        effect = EFFECTS[COMPOUNDS[name]]
        found = 100 * effect.chlorine * CHLORINE / effect.molar_mass
        assert found == pytest.approx(expected, abs=0.01), name


@pytest.mark.parametrize(
    ("column", "field", "unit"),
    [
        ("mg_pure_per_mg_alkalinity_as_CaCO3", "alkalinity", ALKALINITY_EQUIVALENT),
        ("mg_pure_per_mg_ca_hardness_as_CaCO3", "calcium", CALCIUM_CARBONATE),
    ],
)
def test_grams_per_milligram_of_effect(column: str, field: str, unit: float) -> None:
    for name, expected in ratios(column).items():
        effect = EFFECTS[COMPOUNDS[name]]
        per_mole = abs(getattr(effect, field)) * unit
        assert effect.molar_mass / per_mole == pytest.approx(expected, rel=2e-4), name


def test_cyanurate_left_per_milligram_of_chlorine() -> None:
    for name, expected in ratios("cya_mg_per_mg_available_cl").items():
        effect = EFFECTS[COMPOUNDS[name]]
        found = effect.cyanurate * CYANURIC_ACID / (effect.chlorine * CHLORINE)
        assert found == pytest.approx(expected, rel=2e-4), name


def test_alkalinity_moves_on_adding_chlorine_and_again_on_its_use() -> None:
    moved = "alk_change_mgL_CaCO3_per_mgL_available_cl"
    added, used = ratios(moved, "added"), ratios(moved, "after_all_chlorine_is_used")
    for name, expected in added.items():
        effect = EFFECTS[COMPOUNDS[name]]
        per_chlorine = effect.chlorine * CHLORINE
        found = effect.alkalinity * ALKALINITY_EQUIVALENT / per_chlorine
        left = (effect.alkalinity - effect.chlorine) * ALKALINITY_EQUIVALENT / per_chlorine
        assert found == pytest.approx(expected, abs=2e-4), name
        assert left == pytest.approx(used[name], abs=2e-4), name


def test_calcium_left_by_calcium_hypochlorite() -> None:
    per_chlorine = ratios("ca_hardness_mg_per_mg_available_cl")["Ca(OCl)2"]
    start = totals_of(case_test(group("dose")[0]))
    effect = EFFECTS[COMPOUNDS["Ca(OCl)2"]]
    after = dosed(start, COMPOUNDS["Ca(OCl)2"], effect.molar_mass / (2 * CHLORINE))
    assert after.calcium_mg_l - start.calcium_mg_l == pytest.approx(per_chlorine, rel=2e-4)
