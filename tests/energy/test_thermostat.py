from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.energy.hourly_load import HourlyLoad, HourlyRun, Thermostat, TubState
from tubcare.energy.lumped import LumpedBody, temperature_after_c, thermostat_cycle
from tubcare.energy.thermostat import run_thermostat
from tubcare.errors import InputError, OutOfRangeError

CAPACITY_J_K = 400 * 4200.0


def _load(
    air_c: list[float], *, ua: float = 5.0, gain_w: float = 40.0, cooling_w: float = 600.0
) -> HourlyLoad:
    air = np.array(air_c)
    return HourlyLoad(
        heat_capacity_j_k=CAPACITY_J_K,
        gain_w=ua * air + gain_w,
        slope_w_k=np.full(air.size, ua),
        cooling_w=np.full(air.size, cooling_w),
        cooling_slope_w_k=np.full(air.size, 8.0),
        may_run=np.ones(air.size, dtype=np.bool_),
    )


def _part(load: HourlyLoad, hours: slice) -> HourlyLoad:
    return HourlyLoad(
        heat_capacity_j_k=load.heat_capacity_j_k,
        gain_w=load.gain_w[hours],
        slope_w_k=load.slope_w_k[hours],
        cooling_w=load.cooling_w[hours],
        cooling_slope_w_k=load.cooling_slope_w_k[hours],
        may_run=load.may_run[hours],
    )


def _left_over_j(run: HourlyRun, start: TubState) -> float:
    stored = CAPACITY_J_K * (run.end.water_c - start.water_c) - (run.end.ice_j - start.ice_j)
    return float(run.gain_j.sum() - run.cooling_j.sum()) - stored


weather = st.lists(st.floats(-25.0, 40.0), min_size=1, max_size=200)
leaks = st.sampled_from([0.0, 1e-6, 3.0, 15.0, 45.0])


@given(air_c=weather, ua=leaks, start_c=st.floats(0.5, 30.0))
def test_the_energy_balance_closes(air_c: list[float], ua: float, start_c: float) -> None:
    start = TubState(water_c=start_c)
    run = run_thermostat(_load(air_c, ua=ua), Thermostat(set_point_c=4.0), start)
    turned_over = float(np.abs(run.gain_j).sum() + run.cooling_j.sum()) + CAPACITY_J_K
    assert abs(_left_over_j(run, start)) < 1e-6 * turned_over


@given(air_c=weather, ua=leaks, cut=st.integers(0, 200), start_c=st.floats(0.0, 30.0))
def test_a_season_split_at_any_hour_sums_to_the_whole(
    air_c: list[float], ua: float, cut: int, start_c: float
) -> None:
    load, thermostat = _load(air_c, ua=ua), Thermostat(set_point_c=4.0)
    start = TubState(water_c=start_c)
    cut = min(cut, len(air_c))
    whole = run_thermostat(load, thermostat, start)
    first = run_thermostat(_part(load, slice(None, cut)), thermostat, start)
    second = run_thermostat(_part(load, slice(cut, None)), thermostat, first.end)
    for name in ("run_s", "starts", "cooling_j", "gain_j"):
        parts = getattr(first, name).sum() + getattr(second, name).sum()
        total = float(getattr(whole, name).sum())
        assert math.isclose(float(parts), total, rel_tol=1e-9, abs_tol=1e-6)
    assert math.isclose(second.end.water_c, whole.end.water_c, rel_tol=1e-9, abs_tol=1e-9)


@given(air_c=weather, warmer=st.floats(0.0, 10.0), ua=leaks)
def test_warmer_air_never_lowers_the_heat_to_be_removed(
    air_c: list[float], warmer: float, ua: float
) -> None:
    thermostat, start = Thermostat(set_point_c=4.0), TubState(water_c=4.0)
    cool = run_thermostat(_load(air_c, ua=ua), thermostat, start)
    warm = run_thermostat(_load([t + warmer for t in air_c], ua=ua), thermostat, start)
    # One switching band of heat may be stored or not when the run ends.
    band_j = CAPACITY_J_K * 1.0
    assert warm.cooling_j.sum() >= cool.cooling_j.sum() - band_j - 1e-6


def test_hours_without_switching_follow_the_closed_form() -> None:
    body = LumpedBody(heat_capacity_j_k=CAPACITY_J_K, ua_w_k=5.0, air_c=20.0)
    run = run_thermostat(
        _load([20.0] * 5, gain_w=0.0), Thermostat(set_point_c=8.0), TubState(water_c=4.0)
    )
    expected = temperature_after_c(body, start_c=4.0, duration_s=5 * 3600.0)
    assert run.water_c[-1] == pytest.approx(expected, abs=1e-9)
    assert run.run_s.sum() == 0.0


def test_a_long_run_settles_into_the_steady_cycle() -> None:
    body = LumpedBody(
        heat_capacity_j_k=CAPACITY_J_K,
        ua_w_k=5.0,
        air_c=18.0,
        gain_w=40.0,
        cooling_w=600.0,
        cooling_slope_w_k=8.0,
    )
    cycle = thermostat_cycle(body, set_point_c=4.0, half_band_k=0.5, electric_w=230.0)
    days = 200
    run = run_thermostat(
        _load([18.0] * 24 * days), Thermostat(set_point_c=4.0), TubState(water_c=4.0)
    )
    assert run.run_h.sum() / days == pytest.approx(cycle.run_h_per_day, rel=2e-3)
    assert run.starts.sum() / days == pytest.approx(cycle.starts_per_day, rel=2e-3)


def test_a_tub_without_any_leak_warms_by_its_pump_alone() -> None:
    run = run_thermostat(
        _load([-20.0] * 10, ua=0.0), Thermostat(set_point_c=8.0), TubState(water_c=4.0)
    )
    assert run.water_c[-1] == pytest.approx(4.0 + 40.0 * 36000.0 / CAPACITY_J_K, abs=1e-9)


def test_the_liquid_model_stops_at_0_c_and_the_ice_melts_before_it_warms() -> None:
    air_c = [-20.0] * 40 + [20.0] * 60
    run = run_thermostat(
        _load(air_c, ua=45.0, gain_w=0.0), Thermostat(set_point_c=4.0), TubState(water_c=4.0)
    )
    assert float(run.water_c.min()) == 0.0
    assert bool(run.ice_hours[39])
    melted_at = 40 + int(np.argmin(run.ice_hours[40:]))
    # It takes about as much heat to melt as was lost below 0 °C, at the same difference.
    frozen_h = int(run.ice_hours[:40].sum())
    assert abs((melted_at - 40) - frozen_h) <= 1


def test_a_compressor_held_off_lets_the_water_warm_and_starts_again() -> None:
    load = _load([25.0] * 30, ua=20.0)
    may_run = np.ones(30, dtype=np.bool_)
    may_run[5:20] = False
    held = HourlyLoad(
        heat_capacity_j_k=load.heat_capacity_j_k,
        gain_w=load.gain_w,
        slope_w_k=load.slope_w_k,
        cooling_w=load.cooling_w,
        cooling_slope_w_k=load.cooling_slope_w_k,
        may_run=may_run,
    )
    run = run_thermostat(held, Thermostat(set_point_c=4.0), TubState(water_c=4.4))
    assert run.run_s[5:20].sum() == 0.0
    assert run.water_c[19] > 8.0
    assert run.starts[20] == 1.0


def test_refuses_a_missing_hour_and_a_band_without_width() -> None:
    with pytest.raises(InputError, match="missing"):
        _load([10.0, math.nan])
    with pytest.raises(OutOfRangeError, match="half_band_k"):
        Thermostat(set_point_c=4.0, half_band_k=0.0)
    with pytest.raises(OutOfRangeError, match="heat_capacity_j_k"):
        LumpedBody(heat_capacity_j_k=0.0, ua_w_k=5.0, air_c=10.0)


@pytest.mark.parametrize("limit_c", [3.5, 4.5])
def test_air_that_stands_exactly_at_a_switching_point_is_no_trouble(limit_c: float) -> None:
    load = _load([limit_c] * 5000, ua=45.0, gain_w=0.0)
    run = run_thermostat(load, Thermostat(set_point_c=4.0), TubState(water_c=4.0))
    assert run.water_c[-1] == pytest.approx(limit_c, abs=1e-6)


def test_ice_that_forms_after_a_stop_within_the_hour_is_kept_as_ice() -> None:
    # A small tub that the compressor leaves at 3.5 °C just as a hard frost sets in.
    load = _load([30.0] * 3 + [-50.0] * 2, ua=500.0, cooling_w=20000.0)
    start = TubState(water_c=4.6)
    run = run_thermostat(load, Thermostat(set_point_c=4.0), start)
    assert float(run.water_c.min()) == 0.0
    assert run.end.ice_j > 0.0
    assert abs(_left_over_j(run, start)) < 1e-6 * CAPACITY_J_K


def test_water_warmer_than_any_chilled_tub_is_refused_with_what_to_check() -> None:
    load = _load([20.0] * 24 * 60, ua=0.0, gain_w=900.0, cooling_w=0.0)
    with pytest.raises(InputError, match="pass 60 °C; check leak"):
        run_thermostat(load, Thermostat(set_point_c=4.0), TubState(water_c=4.0))
