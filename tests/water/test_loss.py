"""Sanitiser loss fitted from a log, and the day by which the next dose is due."""

from __future__ import annotations

import math
import random
from datetime import UTC, datetime, timedelta
from statistics import fmean
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.water.loss import due_at_floor, fit_loss, level_after
from tubcare.water.loss_pairs import (
    Interval,
    SanitiserDose,
    SanitiserReading,
    interval_rate,
    intervals,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

START = datetime(2026, 5, 1, 8, tzinfo=UTC)


def reading(days: float, mg_l: float, water_c: float | None = None) -> SanitiserReading:
    return SanitiserReading(at=START + timedelta(days=days), mg_l=mg_l, water_c=water_c)


def dose(days: float, mg_l: float) -> SanitiserDose:
    return SanitiserDose(at=START + timedelta(days=days), mg_l=mg_l)


@given(rate=st.floats(0.05, 2.0), days=st.floats(0.5, 3.0), added=st.floats(0.0, 5.0))
def test_the_rate_behind_two_readings_and_a_dose_is_found(
    rate: float, days: float, added: float
) -> None:
    left = 3.0 * math.exp(-rate * days) + added * math.exp(-rate * 0.6 * days)
    if left < 0.06:
        return
    found = interval_rate(reading(0, 3.0), reading(days, left), [dose(0.4 * days, added)])
    # An instant holds microseconds.
    assert found == pytest.approx(rate, rel=1e-4)


def test_a_rise_that_no_dose_explains_tells_no_rate() -> None:
    assert interval_rate(reading(0, 1.0), reading(1, 2.5), []) is None


def test_a_rise_within_what_two_tests_miss_is_no_unlogged_dose() -> None:
    found = interval_rate(reading(0, 2.0), reading(2, 2.2), [])
    assert found == pytest.approx(-math.log(1.1) / 2.0)


def test_a_single_small_rise_tells_of_no_loss() -> None:
    pairs = intervals([reading(0, 2.0), reading(2, 2.2)], [])
    assert fit_loss(pairs, water_c=6.0, dips_per_day=0.0) is None


def test_a_slow_loss_does_not_look_fast_through_noisy_tests() -> None:
    """200 logs of 12 pairs over 2 days that lose 0.08 a day, each test 10 % off: no bias left."""
    draw = random.Random(20)
    found = []
    for _ in range(200):
        levels = [2.0 * math.exp(-0.16 * k) * (1.0 + draw.gauss(0.0, 0.1)) for k in range(13)]
        log = intervals([reading(2 * k, level) for k, level in enumerate(levels)], [])
        rate = fit_loss(log, water_c=6.0, dips_per_day=0.0)
        found.append(0.0 if rate is None else rate.rate_per_day)
    assert fmean(found) == pytest.approx(0.08, rel=0.08)


def test_a_reading_below_detection_says_only_at_least() -> None:
    (only,) = intervals([reading(0, 3.0), reading(2, 0.0)], [])
    assert only.rate_per_day is None
    assert only.at_least == pytest.approx(math.log(3.0 / 0.05) / 2.0, rel=1e-6)


def test_a_single_pair_gets_a_wide_range() -> None:
    found = fit_loss(intervals([reading(0, 3.0), reading(2, 1.5)], []), water_c=6, dips_per_day=0)
    assert found is not None
    assert found.rate_per_day == pytest.approx(math.log(2) / 2)
    assert found.high_per_day == pytest.approx(2 * found.rate_per_day)
    assert found.low_per_day == pytest.approx(found.rate_per_day / 2)


def test_no_pair_no_rate() -> None:
    assert fit_loss((), water_c=6.0, dips_per_day=0.0) is None


def test_scatter_widens_the_range() -> None:
    steady = [reading(i, 3.0 if i % 2 == 0 else 2.0) for i in range(8)]
    doses = [dose(i + 0.999999, 1.0 + 0.1 * (i % 4)) for i in range(1, 8, 2)]
    found = fit_loss(intervals(steady, doses), water_c=6.0, dips_per_day=0.0)
    assert found is not None
    assert found.low_per_day < found.rate_per_day < found.high_per_day


def test_use_is_found_as_a_covariate_when_the_log_tells() -> None:
    """Rates made as 0.2 + 0.1 per dip a day come back."""
    readings, dips = [], []
    for day in range(10):
        visits = day % 4
        readings += [
            reading(3 * day, 3.0),
            reading(3 * day + 1, 3.0 * math.exp(-0.2 - 0.1 * visits)),
        ]
        dips += [START + timedelta(days=3 * day + 0.5)] * visits
    pairs = [p for p in intervals(readings, [], dips=dips) if p.days < 1.5]
    found = fit_loss(pairs, water_c=6.0, dips_per_day=2.0)
    assert found is not None
    assert found.per_dip == pytest.approx(0.1, rel=1e-6)
    assert found.rate_per_day == pytest.approx(0.4, rel=1e-6)


def test_warmer_water_loses_faster_as_published() -> None:
    """E/R 7000-10000 K: 2.4-3.5 times from 5 to 15 °C (from memory); ours lies between."""
    found = fit_loss(intervals([reading(0, 3.0), reading(2, 1.5)], []), water_c=5, dips_per_day=0)
    assert found is not None
    warm = found.at(water_c=15.0, dips_per_day=0.0)
    assert 2.4 < warm.rate_per_day / found.rate_per_day * math.exp(0) < 3.5


def test_the_next_dose_is_due_when_the_level_meets_the_floor() -> None:
    found = fit_loss(intervals([reading(0, 3.0), reading(2, 1.5)], []), water_c=6, dips_per_day=0)
    assert found is not None
    due = due_at_floor(found, mg_l=2.0, now=START, floor_mg_l=1.0)
    assert due.expected == START + timedelta(days=2)
    assert due.earliest == START + timedelta(days=1)
    assert due.latest == START + timedelta(days=4)


def test_below_the_floor_the_dose_is_due_now() -> None:
    found = fit_loss(intervals([reading(0, 3.0), reading(2, 1.5)], []), water_c=6, dips_per_day=0)
    assert found is not None
    assert due_at_floor(found, mg_l=0.5, now=START, floor_mg_l=1.0).latest == START


def test_the_predicted_level_lies_in_its_range() -> None:
    found = fit_loss(intervals([reading(0, 3.0), reading(2, 1.5)], []), water_c=6, dips_per_day=0)
    assert found is not None
    expected, low, high = level_after(found, 2.0, 2.0)
    assert low < expected < high
    assert expected == pytest.approx(1.0)


def a_log(
    *,
    rate: Callable[[float, int], float],
    temperatures: Sequence[float],
    visits: Sequence[int],
) -> tuple[Interval, ...]:
    """Return day-long pairs, three days apart, that fall by `rate(water_c, visits)`."""
    found: list[Interval] = []
    for place, (water_c, dips) in enumerate(zip(temperatures, visits, strict=True)):
        day = 3.0 * place
        left = 3.0 * math.exp(-rate(water_c, dips))
        pair = [reading(day, 3.0, water_c), reading(day + 1.0, left, water_c)]
        came = [START + timedelta(days=day + 0.5)] * dips
        found += intervals(pair, [], dips=came)
    return tuple(found)


def test_temperature_is_found_as_a_covariate_when_the_log_tells() -> None:
    """Rates made as 0.3 exp(-5000 (1/T - 1/T0)), T0 8 °C, come back with their E/R."""

    def rate(water_c: float, _dips: int) -> float:
        return 0.3 * math.exp(-5000.0 * (1 / (water_c + 273.15) - 1 / 281.15))

    warm = [3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 13.0, 14.0, 15.0, 5.0]
    log = a_log(rate=rate, temperatures=warm, visits=[0] * 10)
    found = fit_loss(log, water_c=8.0, dips_per_day=0.0)
    assert found is not None
    assert found.temperature_fitted
    assert found.e_over_r_k == pytest.approx(5000.0, rel=0.01)
    assert found.rate_per_day == pytest.approx(0.3, rel=1e-3)
    assert found.at(water_c=14.0, dips_per_day=0).rate_per_day == pytest.approx(rate(14.0, 0))


def test_temperature_and_use_are_found_side_by_side() -> None:
    def rate(water_c: float, dips: int) -> float:
        return (0.2 + 0.1 * dips) * math.exp(-6000.0 * (1 / (water_c + 273.15) - 1 / 281.15))

    warm = [4.0, 14.0, 6.0, 12.0, 8.0, 10.0, 5.0, 13.0, 9.0, 7.0]
    log = a_log(rate=rate, temperatures=warm, visits=[0, 0, 1, 1, 2, 2, 3, 3, 0, 2])
    found = fit_loss(log, water_c=8.0, dips_per_day=2.0)
    assert found is not None
    assert found.e_over_r_k == pytest.approx(6000.0, rel=0.02)
    assert found.per_dip == pytest.approx(0.1, rel=0.01)
    assert found.rate_per_day == pytest.approx(0.4, rel=0.01)


def test_readings_at_one_temperature_keep_the_published_dependence() -> None:
    log = a_log(rate=lambda _c, _d: 0.3, temperatures=[6.0] * 10, visits=[0] * 10)
    found = fit_loss(log, water_c=6.0, dips_per_day=0.0)
    assert found is not None
    assert not found.temperature_fitted
    assert found.e_over_r_k == 8500.0


def test_noise_is_rarely_taken_for_bathers_or_temperature() -> None:
    """Where use has no effect and warmth the published one, nine logs in ten say neither."""
    draw = random.Random(5)
    use_found = temperature_found = 0
    for _ in range(200):
        warm = [draw.uniform(3.0, 14.0) for _ in range(12)]
        noise = [math.exp(draw.gauss(0.0, 0.2)) for _ in range(12)]
        spread = iter(noise)
        log = a_log(
            rate=lambda c, _d, spread=spread: (  # type: ignore[misc]  # bound early
                0.3 * math.exp(-8500.0 * (1 / (c + 273.15) - 1 / 281.15)) * next(spread)
            ),
            temperatures=warm,
            visits=[draw.randrange(4) for _ in range(12)],
        )
        found = fit_loss(log, water_c=8.0, dips_per_day=1.0)
        assert found is not None
        use_found += found.per_dip is not None
        temperature_found += found.temperature_fitted
    assert use_found < 30
    assert temperature_found < 40


def test_nine_coming_pairs_in_ten_lie_in_the_range() -> None:
    draw = random.Random(6)
    inside = 0
    for _ in range(400):
        rates = [draw.gauss(0.4, 0.06) for _ in range(8)]
        spread = iter(rates)
        log = a_log(
            rate=lambda _c, _d, spread=spread: next(spread),  # type: ignore[misc]  # bound early
            temperatures=[6.0] * 8,
            visits=[0] * 8,
        )
        found = fit_loss(log, water_c=6.0, dips_per_day=0.0)
        assert found is not None
        inside += found.low_per_day <= draw.gauss(0.4, 0.06) <= found.high_per_day
    assert 0.86 < inside / 400 < 0.94


def test_a_use_far_from_the_log_widens_the_range() -> None:
    draw = random.Random(7)
    log = a_log(
        rate=lambda _c, dips: 0.2 + 0.1 * dips + draw.gauss(0.0, 0.01),
        temperatures=[6.0] * 8,
        visits=[0, 1, 2, 0, 1, 2, 0, 1],
    )
    near, far = (fit_loss(log, water_c=6.0, dips_per_day=use) for use in (1.0, 8.0))
    assert near is not None
    assert far is not None
    assert far.high_per_day - far.low_per_day > 2 * (near.high_per_day - near.low_per_day)


def test_pairs_that_ended_at_nothing_speed_up_the_rate() -> None:
    """One slow pair and two that were gone within a day: not the slow one alone."""
    slow = [reading(0, 3.0), reading(1, 2.7)]
    gone = [[reading(d, 3.0), reading(d + 1, 0.0)] for d in (3, 6)]
    pairs = [*intervals(slow, []), *(p for each in gone for p in intervals(each, []))]
    found = fit_loss(pairs, water_c=6.0, dips_per_day=0.0)
    assert found is not None
    assert found.censored == 2
    assert found.rate_per_day > 10 * math.log(3.0 / 2.7)
    assert found.high_per_day >= math.log(3.0 / 0.05)


def test_a_tub_whose_sanitiser_is_always_gone_still_gets_a_day() -> None:
    pairs = intervals([reading(0, 3.0), reading(2, 0.0)], [])
    found = fit_loss(pairs, water_c=6.0, dips_per_day=0.0)
    assert found is not None
    least = math.log(3.0 / 0.05) / 2.0
    assert found.low_per_day == pytest.approx(least)
    assert found.high_per_day > found.rate_per_day >= found.low_per_day - 1e-12
    due = due_at_floor(found, mg_l=3.0, now=START, floor_mg_l=1.0)
    assert due.latest is not None
    assert due.latest < START + timedelta(days=1)
