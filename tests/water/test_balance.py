"""What holds for the balance of any water."""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from tests.water.waters import a_test, waters
from tubcare.errors import InputError, OutOfRangeError
from tubcare.water.activity import activities_at
from tubcare.water.balance import (
    active_chlorine,
    balance,
    balance_of,
    reading_of,
    totals_of,
)
from tubcare.water.compounds import Compound, chlorine_used, dosed
from tubcare.water.equilibria import constants_at
from tubcare.water.equilibrium import at_rest_with_air, solve_ph
from tubcare.water.inverse import dose_to_ph
from tubcare.water.many import balance_many, columns_of
from tubcare.water.masses import CHLORINE
from tubcare.water.reading import WaterTest, mixed
from tubcare.water.sample import at_tub_temperature

_KEEP_ALKALINITY = [Compound.CALCIUM_CHLORIDE, Compound.CYANURIC_ACID, Compound.BORIC_ACID]
_KEEP_CARBON = [
    Compound.SODIUM_BISULFATE,
    Compound.HYDROCHLORIC_ACID,
    Compound.CAUSTIC_SODA,
    Compound.SODIUM_HYPOCHLORITE,
    Compound.CALCIUM_HYPOCHLORITE,
]


@given(test=waters())
def test_totals_recomputed_from_the_species_agree(test: WaterTest) -> None:
    """Summed here species by species, to one part in a thousand million of what was measured."""
    found = balance(test).species
    anions = found.hypochlorite + found.hypobromite + found.borate + found.cyanurate
    alkalinity = (
        found.bicarbonate
        + found.sodium_bicarbonate
        + found.calcium_bicarbonate
        + 2 * (found.carbonate + found.sodium_carbonate + found.calcium_carbonate)
        + found.hydroxide
        - found.hydrogen
        + anions
        + found.monochlorocyanurate
        + found.dichlorocyanurate
    )
    calcium = found.calcium + found.calcium_bicarbonate + found.calcium_carbonate
    assert alkalinity * 50.043 == pytest.approx(test.alkalinity_mg_l, rel=2e-5)
    assert alkalinity == pytest.approx(totals_of(test).alkalinity, rel=1e-9)
    assert calcium == pytest.approx(totals_of(test).calcium, rel=1e-9)
    assert found.chloride == pytest.approx(totals_of(test).chloride, rel=1e-9)


@given(test=waters())
def test_carbon_and_sanitiser_recomputed_from_the_species_agree(test: WaterTest) -> None:
    found, totals = balance(test).species, totals_of(test)
    carbon = (
        found.carbon_dioxide
        + found.bicarbonate
        + found.carbonate
        + found.sodium_bicarbonate
        + found.sodium_carbonate
        + found.calcium_bicarbonate
        + found.calcium_carbonate
    )
    free = found.hypochlorous_acid + found.hypochlorite
    bound = found.monochlorocyanurate + 2 * found.dichlorocyanurate
    rings = (
        found.cyanuric_acid + found.cyanurate + found.monochlorocyanurate + found.dichlorocyanurate
    )
    assert carbon == pytest.approx(totals.carbon, rel=1e-9)
    assert free + bound == pytest.approx(totals.chlorine, rel=1e-9, abs=1e-15)
    assert rings == pytest.approx(totals.cyanurate, rel=1e-9, abs=1e-15)
    assert found.boric_acid + found.borate == pytest.approx(totals.boron, rel=1e-9, abs=1e-15)


@given(test=waters())
def test_the_species_obey_their_constants(test: WaterTest) -> None:
    """Mass action with the activities put back, each constant found again to 1e-9."""
    state = balance(test)
    found, constants = state.species, constants_at(test.water_c)
    gamma = activities_at(constants.debye_a, constants.debye_b, state.ionic_strength)
    acid = 1e-3 * found.hydrogen * gamma.hydrogen
    base = found.bicarbonate * gamma.bicarbonate
    assert acid == pytest.approx(10.0**-test.ph, rel=1e-9)
    assert acid * base / (found.carbon_dioxide * gamma.neutral) == pytest.approx(constants.k1)
    assert acid * found.carbonate * gamma.carbonate / base == pytest.approx(constants.k2)
    assert 1e-3 * found.hydroxide * gamma.hydroxide * acid == pytest.approx(constants.kw)


@given(test=waters(least_chlorine=0.1, least_cyanurate=1.0))
def test_chlorine_and_cyanurate_obey_their_constants(test: WaterTest) -> None:
    state = balance(test)
    found, constants = state.species, constants_at(test.water_c)
    gamma = activities_at(constants.debye_a, constants.debye_b, state.ionic_strength)
    hocl = 1e-3 * found.hypochlorous_acid * gamma.neutral
    acid = 10.0**-test.ph
    ion = 1e-3 * found.hypochlorite * gamma.monovalent
    assert acid * ion / hocl == pytest.approx(constants.k_hocl, rel=1e-9)
    first = hocl * found.cyanurate / found.monochlorocyanurate
    second = hocl * found.monochlorocyanurate / found.dichlorocyanurate
    assert first == pytest.approx(constants.k_cy9, rel=1e-9)
    assert second == pytest.approx(constants.k_cy7, rel=1e-9)


@given(test=waters())
def test_the_ph_solved_from_the_totals_is_the_one_measured(test: WaterTest) -> None:
    assert solve_ph(totals_of(test), water_c=test.water_c) == pytest.approx(test.ph, abs=1e-7)


@given(test=waters())
def test_the_reading_of_a_balance_is_the_test_it_came_from(test: WaterTest) -> None:
    again = reading_of(balance(test))
    assert again.alkalinity_mg_l == pytest.approx(test.alkalinity_mg_l)
    assert again.calcium_mg_l == pytest.approx(test.calcium_mg_l)
    assert again.free_chlorine_mg_l == pytest.approx(test.free_chlorine_mg_l, abs=1e-12)
    assert balance(again).totals.carbon == pytest.approx(balance(test).totals.carbon, rel=1e-9)


@given(
    test=waters(),
    compound=st.sampled_from(
        [Compound.SODIUM_BISULFATE, Compound.HYDROCHLORIC_ACID, Compound.CHLORINE_GAS]
    ),
    acid=st.floats(0.01, 20.0),
    more=st.floats(0.01, 20.0),
)
def test_more_acid_never_raises_the_ph(
    test: WaterTest, compound: Compound, acid: float, more: float
) -> None:
    totals = totals_of(test)
    less = dosed(totals, compound, acid)
    much = dosed(totals, compound, acid + more)
    assert solve_ph(much, water_c=test.water_c) < solve_ph(less, water_c=test.water_c) < test.ph


@given(test=waters(), more=st.floats(0.1, 10.0))
def test_more_base_never_lowers_the_ph(test: WaterTest, more: float) -> None:
    after = dosed(totals_of(test), Compound.CAUSTIC_SODA, more)
    assert solve_ph(after, water_c=test.water_c) > test.ph


@given(
    test=waters(),
    compound=st.sampled_from([Compound.SODIUM_BISULFATE, Compound.HYDROCHLORIC_ACID]),
    drop=st.floats(0.05, 0.8),
)
def test_a_dose_to_a_target_reads_the_target(
    test: WaterTest, compound: Compound, drop: float
) -> None:
    totals = totals_of(test)
    target = test.ph - drop
    dose = dose_to_ph(totals, compound, water_c=test.water_c, target_ph=target)
    assert dose is not None
    after = dosed(totals, compound, dose)
    assert solve_ph(after, water_c=test.water_c) == pytest.approx(target, abs=1e-6)


@given(test=waters(), rise=st.floats(0.05, 0.6))
def test_a_base_to_a_target_reads_the_target(test: WaterTest, rise: float) -> None:
    totals = totals_of(test)
    dose = dose_to_ph(
        totals, Compound.CAUSTIC_SODA, water_c=test.water_c, target_ph=test.ph + rise
    )
    assert dose is not None
    after = dosed(totals, Compound.CAUSTIC_SODA, dose)
    assert solve_ph(after, water_c=test.water_c) == pytest.approx(test.ph + rise, abs=1e-6)


def test_acid_never_reaches_a_higher_ph() -> None:
    totals = totals_of(a_test())
    found = dose_to_ph(totals, Compound.SODIUM_BISULFATE, water_c=5.0, target_ph=7.9)
    assert found is None


@given(first=waters(), second=waters(), third=waters())
def test_the_order_of_mixing_waters_does_not_matter(
    first: WaterTest, second: WaterTest, third: WaterTest
) -> None:
    try:
        a, b, c = (totals_of(test) for test in (first, second, third))
    except InputError:
        # Drawn by chance: less alkalinity than the sanitiser and the pH carry alone.
        reject()
    left = mixed(mixed(a, b, 0.5), c, 1.0 / 3.0)
    right = mixed(mixed(c, b, 0.5), a, 1.0 / 3.0)
    assert solve_ph(left, water_c=5.0) == pytest.approx(solve_ph(right, water_c=5.0), abs=1e-8)


@given(test=waters(), compound=st.sampled_from(_KEEP_ALKALINITY), mg_l=st.floats(1.0, 100.0))
def test_alkalinity_stays_where_no_strong_ion_is_added(
    test: WaterTest, compound: Compound, mg_l: float
) -> None:
    before = totals_of(test)
    assert dosed(before, compound, mg_l).alkalinity == pytest.approx(before.alkalinity)


@given(test=waters(), compound=st.sampled_from(_KEEP_CARBON), mg_l=st.floats(0.1, 10.0))
def test_carbon_stays_where_none_is_added(
    test: WaterTest, compound: Compound, mg_l: float
) -> None:
    before = totals_of(test)
    assert dosed(before, compound, mg_l).carbon == before.carbon


@given(test=waters())
def test_air_and_temperature_leave_the_alkalinity(test: WaterTest) -> None:
    totals = totals_of(test)
    _, rested = at_rest_with_air(totals, water_c=test.water_c)
    assert balance_of(rested, water_c=15.0).totals.alkalinity == totals.alkalinity


@given(test=waters(chlorine=False), chlorine=st.floats(0.5, 10.0))
def test_bleach_used_up_returns_the_first_ph(test: WaterTest, chlorine: float) -> None:
    mg_l = chlorine / CHLORINE * 74.439
    after = dosed(totals_of(test), Compound.SODIUM_HYPOCHLORITE, mg_l)
    used = chlorine_used(after, 2.0 * chlorine)
    # The salt left behind shifts the activities a little.
    assert solve_ph(used, water_c=test.water_c) == pytest.approx(test.ph, abs=0.003)


@given(test=waters(), sample_c=st.floats(15.0, 25.0))
def test_correcting_there_and_back_returns_the_reading(test: WaterTest, sample_c: float) -> None:
    cold = replace(test, water_c=4.0)
    there = at_tub_temperature(cold, sample_c=sample_c)
    back = at_tub_temperature(replace(there, water_c=sample_c), sample_c=4.0)
    assert there.ph > cold.ph
    assert back.ph == pytest.approx(cold.ph, abs=1e-6)


@given(tests=st.lists(waters(), min_size=1, max_size=20))
def test_many_at_once_equal_one_by_one(tests: list[WaterTest]) -> None:
    many = balance_many(columns_of(tests))
    for place, test in enumerate(tests):
        one = balance(test)
        assert many.saturation_index[place] == pytest.approx(one.saturation_index, abs=1e-9)
        assert many.carbon_mmol_l[place] == pytest.approx(one.totals.carbon, rel=1e-9)
        assert many.hocl_mg_l[place] == pytest.approx(one.hocl_mg_l, rel=1e-9, abs=1e-15)
        assert many.ionic_strength[place] == pytest.approx(one.ionic_strength, rel=1e-9)


def test_one_bad_reading_among_many_is_named() -> None:
    columns = columns_of([a_test(), a_test()])
    columns.ph[1] = 14.0
    with pytest.raises(OutOfRangeError, match="ph is 14"):
        balance_many(columns)


def test_an_impossible_reading_among_many_is_not_a_number() -> None:
    columns = columns_of([a_test(), a_test(alkalinity_mg_l=2.0, cyanuric_acid_mg_l=60.0)])
    assert np.isnan(balance_many(columns).carbon_mmol_l).tolist() == [False, True]


def test_less_alkalinity_than_cyanurate_carries_is_refused() -> None:
    with pytest.raises(InputError, match="alkalinity_mg_l"):
        balance(a_test(alkalinity_mg_l=2.0, cyanuric_acid_mg_l=60.0))


@pytest.mark.parametrize(
    ("field", "value"),
    [("water_c", -0.1), ("water_c", 35.1), ("ph", 3.0), ("calcium_mg_l", -1.0), ("ph", math.nan)],
)
def test_a_value_out_of_range_is_named(field: str, value: float) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        a_test(**{field: value})
    assert caught.value.name == field


def test_a_gross_overdose_of_acid_is_refused_not_guessed() -> None:
    flooded = dosed(totals_of(a_test()), Compound.HYDROCHLORIC_ACID, 3000.0)
    with pytest.raises(OutOfRangeError):
        solve_ph(flooded, water_c=5.0)


def test_cyanurate_below_five_degrees_is_flagged_and_wider() -> None:
    warm, cold = (
        active_chlorine(balance(a_test(water_c=t, cyanuric_acid_mg_l=30.0))) for t in (6.0, 2.0)
    )
    assert not warm.extrapolated
    assert cold.extrapolated
    assert cold.high_mg_l / cold.low_mg_l > warm.high_mg_l / warm.low_mg_l
    assert cold.low_mg_l < cold.hocl_mg_l < cold.high_mg_l


def test_without_cyanurate_active_chlorine_has_no_spread() -> None:
    found = active_chlorine(balance(a_test()))
    assert found.low_mg_l == found.hocl_mg_l == found.high_mg_l
    assert not found.extrapolated


def test_no_calcium_has_no_saturation() -> None:
    assert balance(a_test(calcium_mg_l=0.0)).saturation_index == -math.inf


def test_a_single_balance_loads_no_numpy() -> None:
    """Numpy costs more than all of the rest; it is loaded for many readings only."""
    code = (
        "import sys, tubcare.water.plan, tubcare.water.completed, tubcare.water.strips;"
        "sys.exit('numpy' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_base_is_found_where_the_alkalinity_alone_would_not_carry_the_target() -> None:
    """At pH 9 cyanurate and borate hold more than this water has, until the base is in it."""
    test = a_test(
        water_c=0.0, ph=8.5, alkalinity_mg_l=30.0, cyanuric_acid_mg_l=50.0, boron_mg_l=10.0
    )
    totals = totals_of(test)
    dose = dose_to_ph(totals, Compound.CAUSTIC_SODA, water_c=0.0, target_ph=9.0)
    assert dose is not None
    after = dosed(totals, Compound.CAUSTIC_SODA, dose)
    assert solve_ph(after, water_c=0.0) == pytest.approx(9.0, abs=1e-6)
