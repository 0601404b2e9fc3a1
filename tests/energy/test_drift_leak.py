"""A drift test by itself: it tells the leak with its range, and nothing of unit and pump."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.energy.builders import HELSINKI, SEASON, make_tub, nordic_year
from tubcare.energy.drift_leak import leak_from_drift
from tubcare.energy.drift_test import DriftResult
from tubcare.energy.holding import held_power
from tubcare.energy.hours import hours_of_days
from tubcare.energy.uncertainty import Factors, default_spread, estimate

if TYPE_CHECKING:
    from tubcare.energy.tub import Tub

TUB = make_tub(ua_w_k=49.5)
TEST = DriftResult(ua_w_k=21.5, fit_error_w_k=0.3, error_w_k=1.1, time_constant_h=22.0, advice=())


def test_the_leak_of_the_test_becomes_the_leak_of_the_tub_and_nothing_else_changes() -> None:
    told = leak_from_drift(TUB, TEST)
    assert told is not None
    factors = told[0]
    assert factors.applied(TUB).envelope.ua_w_k() == pytest.approx(21.5, rel=1e-6)
    assert (factors.carnot, factors.pump) == (1.0, 1.0)


def test_only_the_range_of_the_leak_narrows() -> None:
    told = leak_from_drift(TUB, TEST)
    assert told is not None
    before, after = default_spread().covariance, told[1].covariance
    assert after[0][0] == pytest.approx((1.1 / 21.5) ** 2)
    assert after[0][0] < before[0][0]
    assert after[1:] == before[1:]


def test_the_range_of_a_season_narrows_and_covers_the_same_tub_described_rightly() -> None:
    hours = hours_of_days(*SEASON, HELSINKI)
    weather = nordic_year().for_hours(hours)

    def season_kwh(tub: Tub) -> tuple[float, ...]:
        return (float(held_power(tub, hours, weather).drawn_kwh.sum()),)

    told = leak_from_drift(TUB, TEST)
    assert told is not None
    (before,) = estimate(TUB, default_spread(), season_kwh)
    (after,) = estimate(told[0].applied(TUB), told[1], season_kwh)
    (right,) = season_kwh(make_tub(ua_w_k=21.5))
    assert (after.high - after.low) / after.value < (before.high - before.low) / before.value
    assert after.low < right < after.high


@pytest.mark.parametrize(
    "test",
    [
        replace(TEST, error_w_k=0.21 * TEST.ua_w_k),
        replace(TEST, ua_w_k=49.5 * 25.0),
        replace(TEST, ua_w_k=49.5 / 25.0, error_w_k=0.05),
    ],
)
def test_a_test_that_is_worse_than_the_description_or_far_off_is_not_used(
    test: DriftResult,
) -> None:
    assert leak_from_drift(TUB, test) is None


def test_a_test_as_described_leaves_the_leak_where_it_is() -> None:
    told = leak_from_drift(TUB, replace(TEST, ua_w_k=TUB.envelope.ua_w_k()))
    assert told is not None
    assert told[0].leak == pytest.approx(Factors().leak, rel=1e-9)
