"""Freezing times and frost dates against scipy, published examples and plain sums."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.stats import norm, t  # type: ignore[import-untyped]  # it ships no types
from scipy.stats.mstats import mquantiles  # type: ignore[import-untyped]  # it ships no types

from tests.reference.energy.cases import VOLUMETRIC_HEAT_J_L_K, Case, case_name, cases
from tubcare.energy.freezing import StillPart, part_freeze, tub_freeze
from tubcare.energy.frost_dates import SeasonDate
from tubcare.energy.frost_quantile import quantile_reach, weibull_quantile
from tubcare.energy.frost_risk import Method, frost_chance, risk_date
from tubcare.energy.ice import frost_degree_days, ice_thickness_m, volume_growth_on_freezing
from tubcare.energy.lumped import LumpedBody

# The kept cases of still parts hold 4187 J/(L K) constant.
_PART_HEAT_J_L_K = 4187.0


def _cases_with(key: str) -> list[Case]:
    return [case for case in cases("freeze") if key in case.inputs]


@pytest.mark.parametrize("case", _cases_with("V_L"), ids=case_name)
def test_an_unpowered_tub_reaches_zero_when_the_integrator_says(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    body = LumpedBody(
        heat_capacity_j_k=given["V_L"] * VOLUMETRIC_HEAT_J_L_K,
        ua_w_k=given["UA"],
        air_c=given["Ta"],
    )
    frozen = tub_freeze(body, volume_l=given["V_L"], start_c=given["T0"], ice_share=0.1)
    assert case.agrees(frozen.to_zero_h, "hours_to_0C")
    assert case.agrees(frozen.to_ice_h, "hours_for_10pct_ice_after")


@pytest.mark.parametrize("case", _cases_with("D_inner"), ids=case_name)
def test_a_still_part_freezes_when_the_integrator_says(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    part = StillPart(inner_diameter_m=given["D_inner"], film_w_m2k=given["h_out"])
    frozen = part_freeze(
        part, start_c=given["Ti"], air_c=given["Ta"], volumetric_j_l_k=_PART_HEAT_J_L_K
    )
    assert case.agrees(frozen.to_zero_h, "hours_to_0C")
    assert case.agrees(frozen.to_ice_h, "hours_to_solid_after")


@pytest.mark.parametrize(("air_f", "expected_h"), [(-18.0, 1.4), (20.0, 4.6)])
def test_an_insulated_pipe_agrees_with_a_published_example(
    air_f: float, expected_h: float
) -> None:
    # Warren Forensics 2014, quoting ASHRAE Fundamentals ch. 23 eq. 1: 2 in NPT pipe, 1.5 in of
    # insulation with k 0.30 Btu in/(h ft2 F), water at 42 F, air film neglected.
    inch_m, btu_in_w_mk = 0.0254, 0.1442279
    part = StillPart(
        inner_diameter_m=2.067 * inch_m,
        wall_m=(2.375 - 2.067) / 2.0 * inch_m,
        insulation_m=1.5 * inch_m,
        insulation_w_mk=0.30 * btu_in_w_mk,
        film_w_m2k=1e6,
    )
    air_c, start_c = (air_f - 32.0) / 1.8, (42.0 - 32.0) / 1.8
    assert part_freeze(part, start_c=start_c, air_c=air_c).to_zero_h == pytest.approx(
        expected_h, abs=0.05
    )


@pytest.mark.parametrize("case", _cases_with("R_surface"), ids=case_name)
def test_ice_grows_as_the_integrator_says(case: Case) -> None:
    given: dict[str, Any] = case.inputs
    grown = ice_thickness_m(
        difference_k=given["deltaT"], days=given["days"], surface_m2k_w=given["R_surface"]
    )
    assert case.agrees(grown, "h_ice_m")


def test_ice_without_a_film_follows_stefan() -> None:
    (case,) = [case for case in cases("freeze") if case.name == "freeze.stefan_coefficient"]
    grown_cm = 100.0 * ice_thickness_m(difference_k=1.0, days=1.0, surface_m2k_w=0.0)
    assert case.agrees(grown_cm, "cm_per_sqrt_Cday")


@pytest.mark.parametrize("case", _cases_with("daily_mean_T"), ids=case_name)
def test_both_sums_of_frost_degree_days(case: Case) -> None:
    sums = frost_degree_days(case.inputs["daily_mean_T"])
    assert case.agrees(sums.frost_only, "sum_of_frost_only")
    assert case.agrees(sums.net, "net_clipped_final")
    assert case.agrees(sums.most_net, "net_clipped_max")


def test_water_grows_by_a_tenth_when_it_freezes() -> None:
    # About 9 % (Akyurt et al., Energy Conversion and Management 43, 2002).
    assert volume_growth_on_freezing() == pytest.approx(0.09, abs=0.003)


def _seasons(days: list[int | None]) -> list[SeasonDate]:
    return [SeasonDate(season=1980 + number, day=day) for number, day in enumerate(days)]


def test_quantiles_agree_with_weibull_positions() -> None:
    (case,) = [case for case in cases("frost") if case.name == "frost.weibull_quantiles"]
    days = case.inputs["first_frost_doy"]
    for risk, expected in case.expected["quantiles"].items():
        found = risk_date(_seasons(days), float(risk))
        assert found.day == pytest.approx(expected, abs=case.abs)
        assert found.safe_day == case.expected["drain_by_floor"][risk]
        assert found.method is Method.WEIBULL


def test_a_risk_below_one_in_n_plus_one_takes_the_normal_fit() -> None:
    (case,) = [case for case in cases("frost") if case.name == "frost.weibull_quantiles"]
    days = case.inputs["first_frost_doy"]
    found = risk_date(_seasons(days), 0.02)
    expected = norm.ppf(0.02, np.mean(days), np.std(days, ddof=1))
    assert found.method is Method.NORMAL_FIT
    assert found.day == pytest.approx(expected, abs=1e-6)


def test_students_t_in_the_range_is_that_of_scipy() -> None:
    """Student's t by the series of Abramowitz & Stegun, 26.7.5: to 1.3 % from three dates on."""
    days = [270, 280, 300]
    for count in (3, 4, 6, 10, 30):
        sample = (days * 10)[:count]
        z, spread = norm.ppf(0.3), float(np.std(sample, ddof=1))
        ranked = 0.3 * 0.7 / norm.pdf(z) ** 2
        fit = 1.0 + z**2 * count / (2.0 * (count - 1))
        expected = t.ppf(0.95, count - 1) * spread * math.sqrt(max(ranked, fit) / count)
        assert quantile_reach(sample, 0.3, seasons=count) == pytest.approx(expected, rel=0.013)


@pytest.mark.parametrize(("count", "risk"), [(3, 0.1), (8, 0.1), (20, 0.1), (30, 0.2), (30, 0.5)])
def test_nine_ranges_in_ten_hold_the_true_date(count: int, risk: float) -> None:
    """Dates drawn from a normal distribution, whose true quantile scipy tells; 1000 records."""
    draw = np.random.default_rng(count)
    truth, held = norm.ppf(risk, 290.0, 12.0), 0
    for _ in range(1000):
        found = risk_date(_seasons([round(day) for day in draw.normal(290.0, 12.0, count)]), risk)
        assert found.earliest is not None
        assert found.latest is not None
        held += found.earliest <= truth <= found.latest
    assert 0.87 < held / 1000 < 0.96


def test_seasons_without_frost_lower_the_chance() -> None:
    (case,) = [case for case in cases("frost") if case.name == "frost.mixed_no_frost_years"]
    seasons = _seasons(case.inputs["first_frost_doy"])
    for risk, expected in case.expected["doy_for_risk"].items():
        found = risk_date(seasons, float(risk))
        if expected is None:
            assert found.method is Method.NEVER
            assert found.safe_day is None
        else:
            assert found.day == pytest.approx(expected, abs=case.abs)
    assert case.agrees(frost_chance(seasons, 280), "p_by_day_280")


@pytest.mark.parametrize("share", [0.0, 0.01, 0.1, 0.37, 0.5, 0.93, 1.0])
def test_any_quantile_agrees_with_scipy(share: float) -> None:
    values = [12.0, 3.5, 8.0, 8.0, 21.0, 4.0, 17.5]
    expected = float(mquantiles(values, prob=[share], alphap=0, betap=0)[0])
    assert weibull_quantile(values, share) == pytest.approx(expected, abs=1e-12)


def test_one_value_is_its_own_quantile() -> None:
    assert weibull_quantile([5.0], 0.3) == 5.0
    assert math.isclose(weibull_quantile([5.0, 7.0], 0.5), 6.0)
