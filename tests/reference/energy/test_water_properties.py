"""Water against IAPWS-95 as coded in iapws and in CoolProp, and against kept values of both."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS95  # type: ignore[import-untyped]  # it ships no types

from tests.reference.energy.cases import Case, case_name, cases
from tubcare.energy.water_properties import (
    conductivity_w_mk,
    density_kg_m3,
    heat_capacity_j_k,
    specific_heat_j_kg_k,
    volumetric_heat_j_l_k,
)
from tubcare.errors import OutOfRangeError


@pytest.mark.parametrize("case", cases("water"), ids=case_name)
def test_water_agrees_with_the_kept_values(case: Case) -> None:
    water_c = case.inputs["T"]
    assert case.agrees(density_kg_m3(water_c), "rho")
    assert case.agrees(specific_heat_j_kg_k(water_c), "cp")
    assert case.agrees(volumetric_heat_j_l_k(water_c), "rho_cp_J_per_L_K")
    # The release states its conductivity formula to be within 1 % of the full formulation.
    assert conductivity_w_mk(water_c) == pytest.approx(case.expected["k"], rel=0.01)


@pytest.mark.parametrize("water_c", [0.5, 3.98, 7.0, 15.0, 33.0, 59.0])
def test_water_agrees_with_two_codings_of_iapws_95(water_c: float) -> None:
    kelvin = water_c + 273.15
    first = IAPWS95(T=kelvin, P=0.1)
    assert density_kg_m3(water_c) == pytest.approx(first.rho, rel=1e-5)
    assert specific_heat_j_kg_k(water_c) == pytest.approx(1000.0 * first.cp, rel=1e-4)
    assert density_kg_m3(water_c) == pytest.approx(
        PropsSI("D", "T", kelvin, "P", 1e5, "Water"), rel=1e-5
    )
    assert specific_heat_j_kg_k(water_c) == pytest.approx(
        PropsSI("C", "T", kelvin, "P", 1e5, "Water"), rel=1e-4
    )


def test_water_is_densest_near_four_degrees() -> None:
    densest = max(range(100), key=lambda tenth: density_kg_m3(tenth / 10.0))
    assert densest / 10.0 == 4.0


@pytest.mark.parametrize("volume_l", [0.0, -1.0, float("nan")])
def test_a_tub_without_a_known_volume_is_refused(volume_l: float) -> None:
    with pytest.raises(OutOfRangeError, match="volume_l"):
        heat_capacity_j_k(volume_l=volume_l, water_c=4.0)
