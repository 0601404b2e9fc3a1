"""Regressions against scipy, and against a simulated meter in an open data package."""

from __future__ import annotations

import csv
import io
from typing import Any

import numpy as np
import pytest
from scipy.optimize import least_squares  # type: ignore[import-untyped]  # it ships no types
from scipy.stats import linregress  # type: ignore[import-untyped]  # it ships no types

from tests.reference.energy.cases import VOLUMETRIC_HEAT_J_L_K, Case, cases
from tests.reference.energy.open_data import data_text
from tubcare.energy.chiller import Chiller, Evaporator
from tubcare.energy.drift_test import fit_drift
from tubcare.energy.holding import holding_energy
from tubcare.energy.regression import fit_change_point, fit_daily, fit_line


def _case(name: str) -> Case:
    return next(case for case in cases("calib") if case.name == name)


def test_a_daily_line_agrees_with_scipy() -> None:
    case = _case("calib.linear_daily")
    given: dict[str, Any] = case.inputs
    found = fit_daily(
        np.array(given["Ta_mean"]), np.array(given["kWh"]), set_point_c=given["Tset"]
    )
    assert case.agrees(found.line.slope, "slope")
    assert case.agrees(found.line.intercept, "intercept")
    assert case.agrees(found.line.slope_error, "slope_se")
    assert case.agrees(found.ua_over_cop_w_k, "UA_over_COP")
    assert case.agrees(found.power_at_set_point_w, "P_at_Tset_W")
    assert case.agrees(found.line.r2, "r2")


def test_a_drift_test_agrees_with_scipy() -> None:
    case = _case("calib.drift_test")
    given: dict[str, Any] = case.inputs
    found = fit_drift(
        given["t_s"],
        given["T"],
        air_c=given["Ta"],
        heat_capacity_j_k=given["V_L"] * VOLUMETRIC_HEAT_J_L_K,
    )
    assert case.agrees(found.ua_w_k, "UA")
    assert case.agrees(found.fit_error_w_k, "UA_se")
    assert case.agrees(found.time_constant_h, "tau_h")


def test_a_change_point_agrees_with_scipy() -> None:
    case = _case("calib.three_parameter_cooling")
    found = fit_change_point(np.array(case.inputs["Ta"]), np.array(case.inputs["kWh"]))
    assert case.agrees(found.base, "base")
    assert case.agrees(found.slope, "slope")
    assert case.agrees(found.change_point, "change_point")


def test_a_noisy_change_point_agrees_with_scipy() -> None:
    rng = np.random.default_rng(11)
    air_c = rng.uniform(-5.0, 28.0, 120)
    kwh = 1.1 + 0.07 * np.maximum(air_c - 8.0, 0.0) + 0.05 * rng.standard_normal(120)
    fits = [
        least_squares(
            lambda p: p[0] + p[1] * np.maximum(air_c - p[2], 0.0) - kwh, [1.0, 0.05, start]
        )
        for start in (4.0, 8.0, 12.0)
    ]
    best = min(fits, key=lambda fit: float(fit.cost))
    found = fit_change_point(air_c, kwh)
    assert [found.base, found.slope, found.change_point] == pytest.approx(best.x, rel=2e-3)
    line, expected = fit_line(air_c, kwh), linregress(air_c, kwh)
    assert line.intercept_error == pytest.approx(expected.intercept_stderr)


def test_a_simulated_meter_gives_its_three_parameters() -> None:
    # opendsm samples (Apache-2.0): 809 days; base 7.022 kWh/d, slope 6.123 kWh/d/K, change point
    # 16.31 °C and R² 0.896 by scipy least squares on the same days.
    folder = "opendsm/eemeter/samples"
    meter = csv.reader(
        io.StringIO(data_text("opendsm", f"{folder}/il-electricity-cdd-only-daily.csv.gz"))
    )
    hourly = csv.reader(io.StringIO(data_text("opendsm", f"{folder}/il-tempF.csv.gz")))
    next(meter)
    next(hourly)
    by_day: dict[str, list[float]] = {}
    for stamp, value in hourly:
        by_day.setdefault(stamp[:10], []).append((float(value) - 32.0) * 5.0 / 9.0)
    means = {day: float(np.mean(values)) for day, values in by_day.items() if len(values) > 20}
    days = [(means[start[:10]], float(kwh)) for start, kwh in meter if kwh and start[:10] in means]
    air_c, kwh = np.array(days).T
    found = fit_change_point(air_c, kwh)
    assert len(days) == 809
    assert found.base == pytest.approx(7.022, rel=0.01)
    assert found.slope == pytest.approx(6.123, rel=0.01)
    assert found.change_point == pytest.approx(16.31, abs=0.05)
    assert found.r2 == pytest.approx(0.896, abs=0.002)


def _day(case: Case, points_per_h: int) -> tuple[np.ndarray, np.ndarray]:
    """Return load and COP over a day, at the middle of each step."""
    given: dict[str, Any] = case.inputs
    hour = (np.arange(24 * points_per_h) + 0.5) / points_per_h
    air_c = given["Ta_mean"] - given["Ta_amp"] * np.cos(2.0 * np.pi * (hour - 3.0) / 24.0)
    load_w = (
        given["UA"] * (air_c - given["Tset"]) + given["pump_heat_fraction"] * given["P_pump_W"]
    )
    unit = Chiller(
        evaporator=Evaporator.WALL_COIL,
        cooling_w=600.0,
        carnot_share=given["eta"],
        evaporator_approach_k=given["approach_evap"],
        condenser_approach_k=given["approach_cond"],
        least_condensing_c=given["Tcond_floor"],
    )
    return load_w, unit.cop(water_c=given["Tset"], air_c=air_c)


@pytest.mark.parametrize("case", cases("day"), ids=lambda case: case.name)
def test_a_days_energy_agrees_with_quadrature(case: Case) -> None:
    fine = holding_energy(*_day(case, 1000), step_h=0.001)
    by_hour = holding_energy(*_day(case, 1))
    pump_kwh = case.inputs["P_pump_W"] * 0.024
    assert case.agrees(fine.compressor_kwh, "E_comp_kWh")
    assert case.agrees(fine.cooling_kwh, "Q_cool_kWh")
    assert case.agrees(fine.compressor_kwh + pump_kwh, "E_total_kWh")
    assert case.agrees(by_hour.compressor_kwh, "E_comp_hourly_midpoint_kWh")
