"""The COP model against kept values, against CoolProp cycles, and against published anchors."""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest
from CoolProp.CoolProp import PropsSI

from tests.reference.energy.cases import Case, case_name, cases
from tubcare.energy.chiller import Chiller, Evaporator


class _Cycle(NamedTuple):
    cop_electric: float
    heat_j_kg: float
    heat_j_m3: float
    discharge_c: float
    evaporating_pa: float
    condensing_pa: float


def _cycle(given: dict[str, Any]) -> _Cycle:
    """Return a single-stage cycle with superheat, subcooling and an isentropic efficiency."""
    fluid = given["fluid"]
    cold_k, warm_k = given["Te"] + 273.15, given["Tc"] + 273.15
    low = PropsSI("P", "T", cold_k, "Q", 1, fluid)
    high = PropsSI("P", "T", warm_k, "Q", 1, fluid)
    suction_k = cold_k + given["superheat"]
    h1 = PropsSI("H", "T", suction_k, "P", low, fluid)
    s1 = PropsSI("S", "T", suction_k, "P", low, fluid)
    ideal = PropsSI("H", "P", high, "S", s1, fluid) - h1
    h2 = h1 + ideal / given["eta_is"]
    h3 = PropsSI("H", "T", warm_k - given["subcool"], "P", high, fluid)
    heat = h1 - h3
    return _Cycle(
        cop_electric=heat / (h2 - h1) * given["eta_el"],
        heat_j_kg=heat,
        heat_j_m3=heat * PropsSI("D", "T", suction_k, "P", low, fluid),
        discharge_c=PropsSI("T", "P", high, "H", h2, fluid) - 273.15,
        evaporating_pa=low,
        condensing_pa=high,
    )


def _chiller(evaporating_c: float, condensing_c: float) -> tuple[Chiller, float, float]:
    """Return a unit and the water and air temperatures that give those refrigerant ones."""
    unit = Chiller(evaporator=Evaporator.WALL_COIL, cooling_w=600.0)
    return (
        unit,
        evaporating_c + unit.evaporator_approach_k,
        condensing_c - unit.condenser_approach_k,
    )


@pytest.mark.parametrize("case", cases("cop"), ids=case_name)
def test_the_cop_is_taken_on_the_refrigerant_side(case: Case) -> None:
    given = case.inputs
    unit = Chiller(
        evaporator=Evaporator.WALL_COIL,
        cooling_w=600.0,
        carnot_share=given["eta"],
        evaporator_approach_k=given["approach_evap"],
        condenser_approach_k=given["approach_cond"],
        least_condensing_c=given["Tcond_floor"],
    )
    assert case.agrees(float(unit.cop(water_c=given["Tw"], air_c=given["Ta"])), "cop")
    assert case.agrees(float(unit.condensing_c(given["Ta"])), "Tc")


@pytest.mark.parametrize("case", cases("refrigeration"), ids=case_name)
def test_the_cycle_agrees_with_the_kept_values(case: Case) -> None:
    cycle = _cycle(case.inputs)
    assert case.agrees(cycle.cop_electric, "cop_el")
    assert case.agrees(cycle.heat_j_kg, "q_evap_J_per_kg")
    assert case.agrees(cycle.heat_j_m3, "q_vol_J_per_m3")
    assert case.agrees(cycle.discharge_c, "T_discharge")
    assert case.agrees(cycle.evaporating_pa, "p_evap")
    assert case.agrees(cycle.condensing_pa, "p_cond")


@pytest.mark.parametrize("case", cases("refrigeration"), ids=case_name)
def test_the_ideal_cop_is_the_carnot_figure_of_the_cycle(case: Case) -> None:
    unit, water_c, air_c = _chiller(case.inputs["Te"], case.inputs["Tc"])
    assert case.agrees(float(unit.ideal_cop(water_c=water_c, air_c=air_c)), "carnot")


@pytest.mark.parametrize("case", cases("refrigeration"), ids=case_name)
def test_one_share_of_carnot_describes_three_refrigerants(case: Case) -> None:
    unit, water_c, air_c = _chiller(case.inputs["Te"], case.inputs["Tc"])
    modelled = float(unit.cop(water_c=water_c, air_c=air_c))
    # The default share is 0.42; the computed cycles scatter from 0.40 to 0.47.
    assert modelled == pytest.approx(_cycle(case.inputs).cop_electric, rel=0.12)


def _volumetric(fluid: str, evaporating_c: float, condensing_c: float) -> float:
    """Return the heat taken out for each cubic metre that the compressor takes in. [J m⁻³]."""
    given = {
        "fluid": fluid,
        "Te": evaporating_c,
        "Tc": condensing_c,
        "superheat": 5,
        "subcool": 3,
        "eta_is": 0.6,
        "eta_el": 0.85,
    }
    return _cycle(given).heat_j_m3


@pytest.mark.parametrize("rated_water_c", [5.0, 15.0, 20.0, 25.0, 35.0])
@pytest.mark.parametrize("fluid", ["R290", "R600a", "R134a"])
def test_a_rating_in_warm_water_is_carried_to_cold_as_computed_cycles_do(
    fluid: str, rated_water_c: float
) -> None:
    unit = Chiller(evaporator=Evaporator.WALL_COIL, cooling_w=1000.0, rated_water_c=rated_water_c)
    base, slope = unit.capacity_w(20.0)
    rated = _volumetric(fluid, rated_water_c - 8.0, 32.0)
    for water_c in (2.0, 4.0, 10.0):
        computed = _volumetric(fluid, water_c - 8.0, 32.0) / rated
        assert float(base + slope * water_c) / 1000.0 == pytest.approx(computed, abs=0.04)


@pytest.mark.parametrize("rated_water_c", [0.0, 10.0, 40.0])
@pytest.mark.parametrize("share_per_k", [0.0, 0.033, 0.1])
def test_no_rating_makes_a_chiller_warm_the_water(
    rated_water_c: float, share_per_k: float
) -> None:
    unit = Chiller(
        evaporator=Evaporator.WALL_COIL,
        cooling_w=1000.0,
        rated_water_c=rated_water_c,
        cooling_per_water_k=share_per_k,
    )
    base, slope = unit.capacity_w(35.0)
    assert float(base) >= -1e-9
    assert float(slope) >= 0.0


@pytest.mark.parametrize("fluid", ["R290", "R600a", "R134a"])
def test_capacity_changes_with_water_and_air_as_computed_cycles_do(fluid: str) -> None:
    def volumetric(evaporating_c: float, condensing_c: float) -> float:
        return _volumetric(fluid, evaporating_c, condensing_c)

    unit, water_c, air_c = _chiller(0.0, 35.0)
    unit = Chiller(
        evaporator=Evaporator.WALL_COIL, cooling_w=600.0, rated_water_c=water_c, rated_air_c=air_c
    )
    base, slope = unit.capacity_w(air_c)
    colder = float(base + slope * (water_c - 5.0)) / 600.0
    assert colder == pytest.approx(volumetric(-5.0, 35.0) / volumetric(0.0, 35.0), abs=0.025)
    base, slope = unit.capacity_w(air_c + 7.0)
    hotter = float(base + slope * water_c) / 600.0
    assert hotter == pytest.approx(volumetric(0.0, 42.0) / volumetric(0.0, 35.0), abs=0.025)


def test_published_compressors_lie_within_the_range_of_the_share() -> None:
    # EPA-430-R-93-010 (1993): EER 4.0 (1980) and 5.5 (1993) Btu/Wh for small hermetic ones at
    # -23.3/54.4 C (conditions from memory).
    ideal = (273.15 - 23.3) / (54.4 + 23.3)
    shares = [eer / 3.412 / ideal for eer in (4.0, 5.5)]
    assert shares == [pytest.approx(0.36, abs=0.01), pytest.approx(0.50, abs=0.01)]
    assert all(0.1 <= share <= 0.7 for share in shares)
