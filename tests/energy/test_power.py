from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.energy.builders import HELSINKI, SEASON, make_hours, make_tub, make_weather, nordic_year
from tubcare.energy.chiller import Evaporator, evaporator_cautions
from tubcare.energy.holding import held_power, holding_energy
from tubcare.energy.hourly_load import TubState
from tubcare.energy.hours import hours_of_days
from tubcare.energy.lid import sol_air_c
from tubcare.energy.load import acting
from tubcare.energy.power import power_off_drift_c, pull_down_h, run_power
from tubcare.energy.tub import Pump, Use
from tubcare.energy.weather import Weather
from tubcare.errors import InputError, OutOfRangeError

DAY = [12.0 - 6.0 * math.cos(2 * math.pi * (h - 3) / 24) for h in range(24)]


def test_pump_power_counts_once_as_electricity_and_once_as_heat() -> None:
    hours, weather = make_hours(240), make_weather(DAY * 10)
    dry = replace(make_tub(), pump=Pump(power_w=40.0, heat_share=0.0))
    wet = replace(make_tub(), pump=Pump(power_w=40.0, heat_share=1.0))
    cold, warm = run_power(dry, hours, weather), run_power(wet, hours, weather)
    assert cold.pump_kwh.sum() == pytest.approx(9.6)
    assert warm.pump_kwh.sum() == pytest.approx(9.6)
    more_heat = float(warm.run.gain_j.sum() - cold.run.gain_j.sum()) / 3.6e6
    assert more_heat == pytest.approx(9.6, abs=0.1)


def test_a_resting_chiller_costs_nothing_but_the_pump() -> None:
    resting = replace(make_tub(), resting=True)
    power = run_power(resting, make_hours(240), make_weather(DAY * 10))
    assert power.totals().kwh == pytest.approx(9.6)
    assert power.totals().starts == 0
    assert float(power.run.water_c[-1]) > 10.0


def test_flow_through_without_flow_is_off_at_once() -> None:
    tub = make_tub()
    tub = replace(
        tub,
        chiller=replace(tub.chiller, evaporator=Evaporator.FLOW_THROUGH),
        pump=Pump(power_w=40.0, hours_per_day=8.0, first_hour=8),
    )
    hours = make_hours(48)
    power = run_power(tub, hours, make_weather([25.0] * 48))
    running = set(hours.local_hour[power.run.run_s > 0.0].tolist())
    assert running
    assert running <= set(range(8, 16))
    assert "evaporator.no_flow" in evaporator_cautions(tub.chiller)


def test_below_the_lowest_ambient_the_unit_is_held_off() -> None:
    tub = make_tub(ua_w_k=15.0)
    tub = replace(tub, chiller=replace(tub.chiller, least_air_c=10.0))
    weather = make_weather(DAY * 10)
    power = run_power(tub, make_hours(240), weather)
    assert int(power.held_off.sum()) == int((weather.air_c < 10.0).sum())
    assert power.run.run_s[weather.air_c < 10.0].sum() == 0.0


def test_air_at_or_below_the_set_point_needs_no_cooling_and_keeps_the_cop_finite() -> None:
    tub = make_tub(pump_w=0.0)
    power = run_power(tub, make_hours(100), make_weather([2.0] * 100))
    assert power.totals().compressor_kwh == 0.0
    cop = float(tub.chiller.cop(water_c=30.0, air_c=-20.0))
    assert 0.0 < cop < 50.0


def test_a_chiller_too_small_never_pulls_down() -> None:
    assert pull_down_h(make_tub(ua_w_k=35.0, cooling_w=300.0), fill_c=12.0, air_c=25.0) is None
    reached = pull_down_h(make_tub(), fill_c=12.0, air_c=18.0)
    assert reached is not None
    assert 3.0 < reached < 8.0


def test_a_power_cut_warms_the_water_as_a_hand_calculation_says() -> None:
    # T = Ta - (Ta - T0) exp(-UA t / C), 400 L near 4 C.
    tub = make_tub(ua_w_k=5.0)
    ua = tub.envelope.ua_w_k()
    expected = 20.0 - 16.0 * math.exp(-ua * 86400.0 / tub.heat_capacity_j_k)
    drifted = power_off_drift_c(tub, start_c=4.0, air_c=20.0, after_h=24.0)
    assert drifted == pytest.approx(expected)
    assert power_off_drift_c(tub, start_c=4.0, air_c=-20.0, after_h=500.0) == 0.0


def test_an_open_lid_in_moist_air_adds_condensation_heat() -> None:
    closed = make_tub()
    opened = replace(closed, use=Use(dips_per_day=1.0, hour=7, open_minutes=60.0, dip_kj=0.0))
    hours, weather = make_hours(24), make_weather([20.0] * 24)
    before = acting(closed, hours, weather).load.gain_w
    after = acting(opened, hours, weather).load.gain_w
    more_w = float((after - before)[hours.local_hour == 7][0])
    # Sensible alone would be about 13 W/(m2 K) * 1.05 m2 * 20 K.
    assert more_w > 13.0 * 1.05 * 20.0


def test_dips_add_their_heat_and_nothing_else() -> None:
    tub = replace(make_tub(), use=Use(dips_per_day=2.0, open_minutes=0.0, dip_kj=500.0))
    hours, weather = make_hours(24), make_weather([15.0] * 24)
    plain = acting(make_tub(), hours, weather).load.gain_w
    more_j = float((acting(tub, hours, weather).load.gain_w - plain).sum()) * 3600.0
    assert more_j == pytest.approx(1e6)


@given(
    air=st.lists(st.floats(-20.0, 38.0), min_size=24, max_size=96),
    sun=st.floats(0.0, 900.0),
    warmer=st.floats(0.0, 8.0),
)
def test_warmer_air_never_lowers_the_load(air: list[float], sun: float, warmer: float) -> None:
    tub, hours = make_tub(), make_hours(len(air))
    cool = acting(tub, hours, make_weather(air, sun)).load
    warm = acting(tub, hours, make_weather([t + warmer for t in air], sun)).load
    set_c = tub.thermostat.set_point_c
    loads = [load.gain_w - load.slope_w_k * set_c for load in (cool, warm)]
    assert (loads[1] >= loads[0] - 1e-9).all()


@given(
    air=st.lists(st.floats(9.0, 38.0), min_size=24, max_size=200),
    sun=st.floats(0.0, 900.0),
    better=st.floats(1.0, 10.0),
)
def test_where_sol_air_is_at_or_above_the_set_point_more_insulation_never_costs_more(
    air: list[float], sun: float, better: float
) -> None:
    tub = make_tub(ua_w_k=12.0)
    warm = sol_air_c(air_c=min(air), sun_w_m2=0.0, absorptance=0.6)
    assert warm >= tub.thermostat.set_point_c
    insulated = replace(
        tub,
        envelope=replace(
            tub.envelope,
            body_ua_w_k=tub.envelope.body_ua_w_k / better,
            lid_resistance_m2k_w=min(20.0, tub.envelope.lid_resistance_m2k_w * better),
        ),
    )
    hours, weather = make_hours(len(air)), make_weather(air, sun)
    before, after = (held_power(t, hours, weather).drawn_kwh.sum() for t in (tub, insulated))
    assert float(after) <= float(before) + 1e-9


@given(cut=st.integers(0, 300))
def test_a_season_split_anywhere_sums_to_the_whole(cut: int) -> None:
    tub = make_tub(ua_w_k=10.0)
    hours, weather = make_hours(300), make_weather((DAY * 13)[:300], 100.0)
    whole = run_power(tub, hours, weather)
    first = run_power(tub, hours.part(0, cut), weather.part(0, cut))
    second = run_power(tub, hours.part(cut, 300), weather.part(cut, 300), first.run.end)
    total = first.totals().kwh + second.totals().kwh
    assert math.isclose(total, whole.totals().kwh, rel_tol=1e-9)


@given(ua_w_k=st.sampled_from([2.0, 4.2, 9.0, 15.0]), set_point_c=st.floats(3.0, 12.0))
def test_the_held_season_agrees_with_the_stepped_one(ua_w_k: float, set_point_c: float) -> None:
    tub = make_tub(ua_w_k=ua_w_k, set_point_c=set_point_c)
    hours = hours_of_days(*SEASON, HELSINKI)
    weather = nordic_year().for_hours(hours)
    stepped = run_power(tub, hours, weather).totals()
    held = held_power(tub, hours, weather)
    assert float(held.drawn_kwh.sum()) == pytest.approx(stepped.kwh, rel=0.01)
    assert float(held.run_h.sum()) == pytest.approx(stepped.run_h, rel=0.02)


def test_a_daily_mean_is_not_enough_when_a_night_needs_no_cooling() -> None:
    load_w = np.array([-50.0, 20.0, 120.0, 30.0])
    by_hour = holding_energy(load_w, np.full(4, 3.0))
    by_mean = holding_energy(np.full(4, load_w.mean()), np.full(4, 3.0))
    assert by_hour.compressor_kwh > 1.3 * by_mean.compressor_kwh


def test_a_tub_without_leak_or_pump_stays_as_it_is() -> None:
    tub = replace(
        make_tub(pump_w=0.0),
        envelope=replace(make_tub().envelope, body_ua_w_k=0.0, lid_m2=0.0),
    )
    power = run_power(tub, make_hours(50), make_weather([30.0] * 50))
    assert float(power.run.water_c[-1]) == pytest.approx(4.0)
    assert power.totals().kwh == 0.0


def test_refuses_weather_that_does_not_fit_and_an_unknown_volume() -> None:
    with pytest.raises(InputError, match="covers"):
        run_power(make_tub(), make_hours(10), make_weather([5.0] * 9))
    with pytest.raises(InputError, match="no air temperature"):
        run_power(make_tub(), make_hours(2), make_weather([5.0, math.nan]))
    with pytest.raises(OutOfRangeError, match="volume_l"):
        replace(make_tub(), volume_l=0.0)
    with pytest.raises(OutOfRangeError, match="water_c"):
        TubState(water_c=-1.0)


def test_a_chiller_that_may_not_run_never_pulls_down() -> None:
    tub = make_tub()
    no_flow = replace(tub.chiller, evaporator=Evaporator.FLOW_THROUGH)
    label = replace(tub.chiller, least_air_c=16.0)
    stopped = replace(tub, chiller=no_flow, pump=Pump(power_w=0.0, hours_per_day=0.0))
    for still in (replace(tub, resting=True), stopped, replace(tub, chiller=label)):
        assert pull_down_h(still, fill_c=12.0, air_c=15.0) is None
    assert pull_down_h(replace(tub, chiller=label), fill_c=12.0, air_c=16.0) is not None
    by_frost = pull_down_h(replace(tub, resting=True), fill_c=12.0, air_c=-10.0)
    assert by_frost is not None


def test_hours_without_wind_or_humidity_take_the_stated_assumptions() -> None:
    tub = replace(make_tub(), use=Use(dips_per_day=1.0, hour=7, open_minutes=60.0))
    hours, plain = make_hours(24), make_weather([14.0] * 24)
    unknown = np.full(24, math.nan)
    holed = replace(plain, wind_m_s=unknown, humidity=unknown)
    expected = acting(tub, hours, plain).load
    found = acting(tub, hours, holed).load
    assert found.gain_w == pytest.approx(expected.gain_w)
    assert found.slope_w_k == pytest.approx(expected.slope_w_k)


@pytest.mark.parametrize("kind", Evaporator)
@given(seed=st.integers(0, 10_000), cut=st.integers(0, 240))
def test_balance_and_split_hold_with_everything_at_work(
    kind: Evaporator, seed: int, cut: int
) -> None:
    # Wind, moisture, sun, dips with the lid off, a label's limit, pump hours, frost and ice.
    rng = np.random.default_rng(seed)
    air = np.clip(np.cumsum(rng.normal(0.0, 2.5, 240)) + rng.uniform(-15.0, 25.0), -40.0, 40.0)
    weather = Weather(
        air_c=air,
        sun_w_m2=rng.uniform(0.0, 700.0, 240),
        wind_m_s=rng.uniform(0.0, 12.0, 240),
        humidity=rng.uniform(0.2, 1.0, 240),
    )
    tub = make_tub(ua_w_k=float(rng.uniform(1.0, 40.0)), cooling_w=1500.0)
    tub = replace(
        tub,
        chiller=replace(tub.chiller, evaporator=kind, least_air_c=float(rng.uniform(-5.0, 10.0))),
        pump=Pump(power_w=60.0, hours_per_day=float(rng.uniform(0.0, 24.0))),
        use=Use(dips_per_day=float(rng.integers(0, 6)), open_minutes=12.0),
    )
    hours = make_hours(240)
    whole = run_power(tub, hours, weather)
    turned_j = float(np.abs(whole.run.gain_j).sum() + whole.run.cooling_j.sum())
    stored_j = tub.heat_capacity_j_k * (whole.run.end.water_c - tub.thermostat.set_point_c)
    left_j = float((whole.run.gain_j - whole.run.cooling_j).sum()) - stored_j
    assert abs(left_j + whole.run.end.ice_j) <= 1e-3 * turned_j
    first = run_power(tub, hours.part(0, cut), weather.part(0, cut))
    rest = run_power(tub, hours.part(cut, 240), weather.part(cut, 240), first.run.end)
    kwh, starts = (
        [getattr(each.totals(), name) for each in (first, rest, whole)]
        for name in ("kwh", "starts")
    )
    assert math.isclose(kwh[0] + kwh[1], kwh[2], rel_tol=1e-9)
    assert starts[0] + starts[1] == starts[2]


@given(seed=st.integers(0, 10_000), warmer=st.floats(0.0, 6.0))
def test_warmer_air_never_lowers_the_load_of_an_open_windy_tub(seed: int, warmer: float) -> None:
    rng = np.random.default_rng(seed)
    weather = Weather(
        air_c=rng.uniform(-25.0, 34.0, 72),
        sun_w_m2=rng.uniform(0.0, 900.0, 72),
        wind_m_s=rng.uniform(0.0, 15.0, 72),
        humidity=rng.uniform(0.1, 1.0, 72),
    )
    tub = replace(make_tub(ua_w_k=8.0), use=Use(dips_per_day=8.0, open_minutes=30.0))
    hours, set_c = make_hours(72), tub.thermostat.set_point_c
    loads = [
        load.gain_w - load.slope_w_k * set_c
        for load in (
            acting(tub, hours, each).load
            for each in (weather, replace(weather, air_c=weather.air_c + warmer))
        )
    ]
    assert (loads[1] >= loads[0] - 1e-9).all()
