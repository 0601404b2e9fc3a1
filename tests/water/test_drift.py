"""The month ahead: where the pH of an open water comes to rest."""

from __future__ import annotations

from functools import partial

import pytest

from tests.water.waters import a_test
from tubcare.water.balance import balance_of, totals_of
from tubcare.water.drift import (
    LIDDED_WATER,
    OPEN_WATER,
    DriftAdvice,
    month_ahead,
    ph_after,
    resting_alkalinity,
)


def test_an_open_water_rests_at_the_ph_of_its_alkalinity() -> None:
    state = balance_of(totals_of(a_test(free_chlorine_mg_l=0.0)), water_c=5.0)
    wanted = resting_alkalinity(state, ph=7.8)
    resting = a_test(alkalinity_mg_l=wanted, free_chlorine_mg_l=0.0, ph=7.4)
    settled = balance_of(totals_of(resting), water_c=5.0)
    assert ph_after(settled, days=300, rate_per_day=0.5) == pytest.approx(7.8, abs=0.01)


def test_high_alkalinity_is_advised_down_not_fought_with_acid() -> None:
    state = balance_of(totals_of(a_test(alkalinity_mg_l=100.0)), water_c=5.0)
    found = month_ahead(state, ph_low=7.0, ph_aim=7.4, ph_high=8.0, lowest_alkalinity_mg_l=30.0)
    assert found.advice is DriftAdvice.LOWER_ALKALINITY
    assert found.advised_alkalinity_mg_l == pytest.approx(45.0, abs=6.0)
    assert found.corrections_high >= 2
    assert found.acid_mmol_l > 0.0


@pytest.mark.parametrize("alkalinity", [50.0, 75.0, 100.0])
def test_the_customary_alkalinity_of_50_to_100_does_not_rest_in_range(alkalinity: float) -> None:
    """At 5 °C it rests at pH 8.0-8.4: the month ahead says so, and to what to lower it."""
    state = balance_of(totals_of(a_test(alkalinity_mg_l=alkalinity)), water_c=5.0)
    found = month_ahead(state, ph_low=7.0, ph_aim=7.4, ph_high=7.8, lowest_alkalinity_mg_l=15.0)
    assert 8.0 < found.rest_ph < 8.4
    assert found.advice is DriftAdvice.LOWER_ALKALINITY
    assert found.advised_alkalinity_mg_l == pytest.approx(28.0, abs=3.0)
    assert found.advised_rest_ph == 7.8


def test_water_at_the_advised_alkalinity_needs_no_more_acid() -> None:
    state = balance_of(totals_of(a_test(alkalinity_mg_l=90.0)), water_c=5.0)
    ahead = partial(month_ahead, ph_low=7.0, ph_aim=7.4, ph_high=7.8, lowest_alkalinity_mg_l=15.0)
    found = ahead(state)
    assert found.advised_alkalinity_mg_l is not None
    lower = a_test(alkalinity_mg_l=found.advised_alkalinity_mg_l - 1.0)
    after = balance_of(totals_of(lower), water_c=5.0)
    then = ahead(after)
    assert found.corrections_high > then.corrections_high == 0
    assert then.acid_mmol_l == 0.0
    assert then.advice is DriftAdvice.STAYS_IN_RANGE


def test_where_the_range_forbids_a_lower_alkalinity_the_drift_is_told_as_it_is() -> None:
    state = balance_of(totals_of(a_test(alkalinity_mg_l=90.0)), water_c=5.0)
    found = month_ahead(state, ph_low=7.0, ph_aim=7.4, ph_high=7.8, lowest_alkalinity_mg_l=60.0)
    assert found.advice is DriftAdvice.LOWEST_ALKALINITY_STILL_DRIFTS
    assert found.advised_alkalinity_mg_l == 60.0
    assert found.advised_rest_ph == pytest.approx(8.12, abs=0.03)


def test_a_lid_slows_the_drift() -> None:
    state = balance_of(totals_of(a_test(alkalinity_mg_l=100.0)), water_c=5.0)
    open_days, lidded_days = (
        month_ahead(
            state,
            ph_low=7.0,
            ph_aim=7.4,
            ph_high=7.8,
            lowest_alkalinity_mg_l=30.0,
            exchange=exchange,
        ).leaves_range_day_early
        for exchange in (OPEN_WATER, LIDDED_WATER)
    )
    assert open_days is not None
    assert lidded_days is not None
    assert lidded_days > open_days
