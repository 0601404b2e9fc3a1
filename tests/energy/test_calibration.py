from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.energy.builders import HELSINKI, SEASON, make_tub, nordic_year
from tubcare.energy.back_test import BackTest, back_test
from tubcare.energy.calibration import calibrate
from tubcare.energy.calibration_result import Calibration, Help, Identified, Refusal
from tubcare.energy.drift_test import DriftResult, fit_drift
from tubcare.energy.evidence import Evidence, MeterSpan
from tubcare.energy.holding import held_power
from tubcare.energy.hours import hours_of_days
from tubcare.energy.lumped import LumpedBody, temperature_after_c
from tubcare.energy.power import run_power
from tubcare.energy.uncertainty import default_spread, estimate
from tubcare.energy.weather import Weather
from tubcare.errors import InputError

if TYPE_CHECKING:
    from tubcare.energy.tub import Tub

HOURS = hours_of_days(*SEASON, HELSINKI)
CAPACITY = 400 * 4207.0


def _weather() -> Weather:
    """Return a season whose days differ as real ones do (a slow random walk, fixed seed)."""
    smooth = nordic_year().for_hours(HOURS)
    rng = np.random.default_rng(7)
    days = np.zeros(HOURS.count // 24 + 1)
    for day in range(1, days.size):
        days[day] = 0.7 * days[day - 1] + 2.2 * rng.standard_normal()
    return Weather(
        air_c=smooth.air_c + np.repeat(days, 24)[: HOURS.count], sun_w_m2=smooth.sun_w_m2
    )


def _spans(truth: Tub, weather: Weather, *, noise: float, days: int = 214) -> list[MeterSpan]:
    """Return daily readings of a tub that really behaves like `truth`."""
    drawn = run_power(truth, HOURS, weather).total_kwh
    rng = np.random.default_rng(3)
    return [
        MeterSpan(
            first=HOURS.start + timedelta(days=day),
            stop=HOURS.start + timedelta(days=day + 1),
            kwh=float(drawn[day * 24 : day * 24 + 24].sum() * (1 + noise * rng.normal())),
        )
        for day in range(days)
    ]


TRUTH = make_tub(ua_w_k=6.5, carnot_share=0.36, pump_w=48.0)
GUESS = make_tub()
WEATHER = _weather()
DRIFT = DriftResult(
    ua_w_k=TRUTH.envelope.ua_w_k(),
    fit_error_w_k=0.2,
    error_w_k=0.3,
    time_constant_h=72.0,
    advice=(),
)


def _evidence(spans: list[MeterSpan], drift: DriftResult | None = None) -> Evidence:
    return Evidence(hours=HOURS, weather=WEATHER, spans=tuple(spans), drift=drift)


def test_a_plug_meter_at_one_set_point_tells_only_the_ratio_and_says_so() -> None:
    learned = calibrate(GUESS, _evidence(_spans(TRUTH, WEATHER, noise=0.05)))
    assert isinstance(learned, Calibration)
    assert learned.identified is Identified.RATIO_ONLY
    assert learned.would_help == (Help.DRIFT_TEST,)
    cop = float(TRUTH.chiller.cop(water_c=4.0, air_c=float(WEATHER.air_c.mean())))
    expected = TRUTH.envelope.ua_w_k() / cop
    assert learned.leak_over_cop_w_k == pytest.approx(
        expected, abs=4.0 * learned.leak_over_cop_error_w_k
    )
    assert abs(learned.correlation) > 0.98


def test_with_a_drift_test_leak_and_cop_are_told_apart() -> None:
    learned = calibrate(GUESS, _evidence(_spans(TRUTH, WEATHER, noise=0.05), DRIFT))
    assert isinstance(learned, Calibration)
    assert learned.identified is Identified.SEPARATE
    assert learned.leak_w_k == pytest.approx(TRUTH.envelope.ua_w_k(), rel=0.06)
    assert learned.tub.chiller.carnot_share == pytest.approx(0.36, rel=0.08)
    assert learned.tub.pump.power_w == pytest.approx(48.0, rel=0.05)


def test_the_range_of_a_season_narrows_and_still_covers_the_truth() -> None:
    def season_kwh(tub: Tub) -> tuple[float, ...]:
        return (float(held_power(tub, HOURS, WEATHER).drawn_kwh.sum()),)

    learned = calibrate(GUESS, _evidence(_spans(TRUTH, WEATHER, noise=0.05)))
    assert isinstance(learned, Calibration)
    (before,) = estimate(GUESS, default_spread(), season_kwh)
    (after,) = estimate(learned.tub, learned.spread, season_kwh)
    actual = run_power(TRUTH, HOURS, WEATHER).totals().kwh
    assert after.high - after.low < 0.3 * (before.high - before.low)
    assert after.low * 0.99 <= actual <= after.high * 1.01


def test_too_few_days_or_too_even_weather_are_refused_with_what_would_help() -> None:
    few = calibrate(GUESS, _evidence(_spans(TRUTH, WEATHER, noise=0.05, days=5)))
    assert isinstance(few, Refusal)
    assert Help.MORE_DAYS in few.would_help
    even = Weather(air_c=np.full(HOURS.count, 15.0), sun_w_m2=np.zeros(HOURS.count))
    spans = tuple(_spans(TRUTH, even, noise=0.05))
    flat = calibrate(GUESS, Evidence(hours=HOURS, weather=even, spans=spans))
    assert isinstance(flat, Refusal)
    assert flat.would_help == (Help.WIDER_TEMPERATURES,)


def test_noise_that_hides_the_slope_is_refused() -> None:
    rng = np.random.default_rng(9)
    noisy = [
        MeterSpan(first=s.first, stop=s.stop, kwh=float(rng.uniform(0.0, 4.0)))
        for s in _spans(TRUTH, WEATHER, noise=0.0, days=20)
    ]
    refused = calibrate(GUESS, _evidence(noisy))
    assert isinstance(refused, Refusal)
    assert Help.DRIFT_TEST in refused.would_help


def test_disturbed_days_are_left_out() -> None:
    spans = _spans(TRUTH, WEATHER, noise=0.02)
    spoilt = [
        MeterSpan(first=s.first, stop=s.stop, kwh=s.kwh * 4.0, undisturbed=False)
        if n % 9 == 0
        else s
        for n, s in enumerate(spans)
    ]
    clean = calibrate(GUESS, _evidence([s for n, s in enumerate(spans) if n % 9]))
    learned = calibrate(GUESS, _evidence(spoilt))
    assert isinstance(learned, Calibration)
    assert isinstance(clean, Calibration)
    assert learned.factors == clean.factors


def test_weeks_held_out_are_foretold_within_their_range() -> None:
    checked = back_test(GUESS, _evidence(_spans(TRUTH, WEATHER, noise=0.05), DRIFT))
    assert isinstance(checked, BackTest)
    assert len(checked.weeks) == 7
    assert abs(checked.bias_share) < 0.03
    assert checked.scatter_share < 0.05
    assert checked.within_share >= 5 / 7


def test_readings_a_week_apart_serve_as_well() -> None:
    daily = _spans(TRUTH, WEATHER, noise=0.03)
    weekly = [
        MeterSpan(
            first=daily[n].first, stop=daily[n + 6].stop, kwh=sum(s.kwh for s in daily[n : n + 7])
        )
        for n in range(0, 210, 7)
    ]
    learned = calibrate(GUESS, _evidence(weekly, DRIFT))
    assert isinstance(learned, Calibration)
    assert learned.leak_w_k == pytest.approx(TRUTH.envelope.ua_w_k(), rel=0.08)


def test_a_reading_outside_the_weather_is_refused() -> None:
    late = MeterSpan(first=HOURS.end, stop=HOURS.end + timedelta(days=1), kwh=1.0)
    with pytest.raises(InputError, match="outside the hours"):
        calibrate(GUESS, _evidence([late]))
    with pytest.raises(InputError, match="after the first"):
        MeterSpan(first=HOURS.end, stop=HOURS.start, kwh=1.0)


def _drifted(*, hours: int, air_c: float, noise_k: float) -> tuple[list[float], list[float]]:
    body = LumpedBody(heat_capacity_j_k=CAPACITY, ua_w_k=5.0, air_c=air_c)
    rng = np.random.default_rng(5)
    seconds = [3600.0 * hour for hour in range(hours + 1)]
    water = [
        temperature_after_c(body, start_c=4.0, duration_s=t) + noise_k * float(rng.normal())
        for t in seconds
    ]
    return seconds, water


@pytest.mark.parametrize(
    ("difference_k", "expected_sd"), [(10.0, 0.34), (15.0, 0.23), (20.0, 0.17)]
)
def test_a_drift_test_is_as_good_as_its_difference_allows(
    difference_k: float, expected_sd: float
) -> None:
    # Own Monte Carlo: 12 h, 400 L, 5 W/K, thermometer noise 0.06 K, air known to 0.5 K.
    air_c = 4.0 + difference_k
    seconds, water = _drifted(hours=12, air_c=air_c, noise_k=0.06)
    result = fit_drift(seconds, water, air_c=air_c, heat_capacity_j_k=CAPACITY)
    assert result.ua_w_k == pytest.approx(5.0, abs=3.0 * result.error_w_k)
    assert result.error_w_k == pytest.approx(expected_sd, rel=0.5)


def test_a_drift_test_that_cannot_tell_is_refused() -> None:
    seconds, water = _drifted(hours=12, air_c=18.0, noise_k=0.0)
    with pytest.raises(InputError, match="too short"):
        fit_drift(seconds[:5], water[:5], air_c=18.0, heat_capacity_j_k=CAPACITY)
    with pytest.raises(InputError, match="moved away"):
        fit_drift(seconds, water[::-1], air_c=18.0, heat_capacity_j_k=CAPACITY)
    near, slow = _drifted(hours=12, air_c=9.0, noise_k=0.0)
    with pytest.raises(InputError, match="differ by 10 K"):
        fit_drift(near, slow, air_c=9.0, heat_capacity_j_k=CAPACITY)


def test_three_weeks_teach_but_leave_none_to_hold_out_which_is_said() -> None:
    refused = back_test(GUESS, _evidence(_spans(TRUTH, WEATHER, noise=0.02, days=20), DRIFT))
    assert isinstance(refused, Refusal)
    assert refused.would_help == (Help.MORE_DAYS,)
    assert refused.days == pytest.approx(20.0)
    assert refused.temperature_spread_k > 5.0


@pytest.mark.parametrize("seed", range(6))
def test_ranges_cover_tubs_that_no_other_test_knows(seed: int) -> None:
    # Own draws of leak, COP and pump; a range covers nine in ten, so three of them cover all.
    rng = np.random.default_rng(100 + seed)
    truth = make_tub(
        ua_w_k=float(rng.uniform(3.0, 18.0)),
        carnot_share=float(rng.uniform(0.34, 0.48)),
        pump_w=float(rng.uniform(28.0, 55.0)),
    )
    spans = _spans(truth, WEATHER, noise=0.04, days=int(rng.integers(45, 150)))
    leak = truth.envelope.ua_w_k()
    drift = replace(DRIFT, ua_w_k=leak * 1.03, fit_error_w_k=0.04 * leak, error_w_k=0.05 * leak)
    learned = calibrate(GUESS, _evidence(spans, drift))
    assert isinstance(learned, Calibration)
    leak_sd, carnot_sd, pump_sd = np.sqrt(np.diag(learned.spread.array()))
    assert abs(math.log(learned.leak_w_k / leak)) < 3.0 * leak_sd
    shares = learned.tub.chiller.carnot_share / truth.chiller.carnot_share
    assert abs(math.log(shares)) < 3.0 * carnot_sd
    assert abs(math.log(learned.tub.pump.power_w / truth.pump.power_w)) < 3.0 * pump_sd
