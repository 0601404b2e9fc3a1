"""A drift test without meter readings: the model takes its leak until the test is deleted."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.chilled import SUNNY_MEANS, chilled_tub
from tubcare.energy.calibration_result import Basis, Refusal
from tubcare.energy.uncertainty import Estimate, default_spread
from tubcare.services.frost_tonight import if_power_fails_tonight
from tubcare.services.history import undo
from tubcare.services.power import power
from tubcare.services.power_drift import DriftTest
from tubcare.services.power_learning import (
    add_drift_test,
    delete_drift_test,
    forget_learning,
    learning,
)
from tubcare.services.power_site import PowerSite, read_site
from tubcare.services.power_weather import type_monthly_means
from tubcare.values import Liner, TubId

if TYPE_CHECKING:
    from tubcare.services.desk import Desk

# A night at 5 W/K or so: 400 L, 16 K away.
TEST = DriftTest(readings=((0.0, 4.0), (4.0, 4.7), (8.0, 5.4), (12.0, 6.0)), air_c=20.0)
# The thermometer jumps about: a leak within half of itself.
ROUGH = DriftTest(readings=((0.0, 4.0), (4.0, 5.4), (8.0, 4.1), (12.0, 5.4)), air_c=20.0)


@pytest.fixture
def tub(desk: Desk) -> TubId:
    return chilled_tub(desk, opened=date(2026, 4, 1), liner=Liner.ALUMINIUM)


def site_of(desk: Desk, tub: TubId) -> PowerSite:
    with desk.read() as connection:
        return read_site(connection, tub)


def season_kwh(desk: Desk, tub: TubId) -> Estimate:
    season = power(desk, tub).season
    assert season is not None
    assert season.modelled is not None
    return season.modelled.kwh


def test_the_model_takes_the_leak_of_the_test_and_says_so(desk: Desk, tub: TubId) -> None:
    result = add_drift_test(desk, tub, TEST)
    found = site_of(desk, tub)
    assert found.learned.basis is Basis.DRIFT_TEST
    assert found.site.tub.envelope.ua_w_k() == pytest.approx(result.ua_w_k, rel=1e-6)
    assert found.site.tub.chiller == found.described_tub.chiller
    assert found.site.spread.covariance[0][0] == pytest.approx(result.log_sd**2)


def test_what_is_learned_is_the_leak_and_no_fit_of_the_meter(desk: Desk, tub: TubId) -> None:
    add_drift_test(desk, tub, TEST)
    found = learning(desk, tub)
    assert isinstance(found.found, Refusal)
    assert found.goes_by is Basis.DRIFT_TEST
    assert not found.kept
    forget_learning(desk, tub)
    assert learning(desk, tub).goes_by is Basis.DRIFT_TEST


def test_the_season_follows_and_deleting_the_test_takes_it_back(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, SUNNY_MEANS)
    described = season_kwh(desk, tub)
    add_drift_test(desk, tub, TEST)
    tested = season_kwh(desk, tub)
    assert tested.value != pytest.approx(described.value, rel=0.01)
    assert (tested.high - tested.low) / tested.value < (
        described.high - described.low
    ) / described.value
    delete_drift_test(desk, tub)
    assert season_kwh(desk, tub) == described
    undo(desk)
    assert season_kwh(desk, tub) == tested


def test_the_hours_of_a_power_cut_follow_the_test(desk: Desk, tub: TubId) -> None:
    described = if_power_fails_tonight(desk, tub).cut.tub
    add_drift_test(desk, tub, TEST)
    assert if_power_fails_tonight(desk, tub).cut.tub != described


def test_a_rough_test_is_kept_but_the_description_stands(desk: Desk, tub: TubId) -> None:
    add_drift_test(desk, tub, ROUGH)
    found = site_of(desk, tub)
    assert learning(desk, tub).drift_test == ROUGH
    assert found.learned.basis is Basis.DESCRIPTION
    assert found.site.tub == found.described_tub
    assert found.site.spread == default_spread()
