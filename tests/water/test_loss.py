"""Sanitiser loss fitted from a log, and the day by which the next dose is due."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.water.loss import (
    SanitiserDose,
    SanitiserReading,
    due_at_floor,
    fit_loss,
    interval_rate,
    intervals,
    level_after,
)

START = datetime(2026, 5, 1, 8, tzinfo=UTC)


def reading(days: float, mg_l: float) -> SanitiserReading:
    return SanitiserReading(at=START + timedelta(days=days), mg_l=mg_l)


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
