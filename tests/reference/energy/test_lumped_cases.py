"""The closed forms against scipy's integrator (DOP853, 1e-11), as kept in the cases."""

from __future__ import annotations

import pytest

from tests.reference.energy.cases import VOLUMETRIC_HEAT_J_L_K, Case, case_name, cases
from tubcare.energy.lumped import (
    LumpedBody,
    temperature_after_c,
    thermostat_cycle,
    time_to_reach_s,
)


def _body(case: Case) -> LumpedBody:
    given = case.inputs
    return LumpedBody(
        heat_capacity_j_k=given["V_L"] * VOLUMETRIC_HEAT_J_L_K,
        ua_w_k=given["UA"],
        air_c=given["Ta"],
        gain_w=given["Qgain_W"],
        cooling_w=given.get("Qcool0_W", given.get("Qcool_W", 0.0)),
        cooling_slope_w_k=given.get("Qcool_slope_W_per_K", 0.0),
    )


@pytest.mark.parametrize("case", cases("step"), ids=case_name)
def test_a_step_ends_where_the_integrator_ends(case: Case) -> None:
    end_c = temperature_after_c(
        _body(case), start_c=case.inputs["T0"], duration_s=case.inputs["t_s"]
    )
    assert case.agrees(end_c, "T")


@pytest.mark.parametrize("case", cases("pulldown"), ids=case_name)
def test_a_pull_down_takes_as_long_as_the_integrator_says_or_never_ends(case: Case) -> None:
    took_s = time_to_reach_s(
        _body(case), start_c=case.inputs["T0"], target_c=case.inputs["T_target"]
    )
    assert case.agrees(took_s, "t_s")


@pytest.mark.parametrize("case", cases("cycle_control"), ids=case_name)
def test_a_thermostat_cycle_agrees_with_the_integrators_events(case: Case) -> None:
    cycle = thermostat_cycle(
        _body(case),
        set_point_c=case.inputs["Tset"],
        half_band_k=case.inputs["half_band"],
        electric_w=case.inputs["P_el_W"],
    )
    assert case.agrees(cycle.on_s, "t_on_s")
    assert case.agrees(cycle.off_s, "t_off_s")
    assert case.agrees(cycle.run_h_per_day, "run_h_per_day")
    assert case.agrees(cycle.compressor_kwh_per_day, "kWh_per_day")
    assert case.agrees(cycle.starts_per_day, "starts_per_day")
