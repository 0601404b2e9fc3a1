"""What a tub's cold costs: metered, modelled with its range, at the tariff."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.support.chilled import MEANS, modelled_kwh, read_kwh
from tests.support.plans import add_tub
from tubcare.care.model import TubState
from tubcare.errors import InputError, OutOfRangeError
from tubcare.services.history import undo
from tubcare.services.household import POWER_PRICE, change_setting
from tubcare.services.power import power
from tubcare.services.power_build import read_build
from tubcare.services.power_change import change_build
from tubcare.services.power_weather import type_monthly_means
from tubcare.services.tubs import enter_state

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


def test_without_weather_the_meter_is_told_and_nothing_is_modelled(desk: Desk, tub: TubId) -> None:
    read_kwh(desk, tub, date(2026, 5, 10), 100.0)
    read_kwh(desk, tub, date(2026, 5, 20), 116.0)
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.metered_kwh == pytest.approx(16.0)
    assert found.season.metered_days == 10
    assert found.season.modelled is None
    assert not found.has_weather


def test_a_meter_read_on_the_day_of_the_closing_covers_no_more_days_than_there_were(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    read_kwh(desk, tub, date(2026, 5, 10), 100.0)
    clock.set(date(2026, 5, 20))
    enter_state(desk, tub, TubState.CLOSED, date(2026, 5, 20))
    read_kwh(desk, tub, date(2026, 5, 20), 130.0)
    season = power(desk, tub).season
    assert season is not None
    assert season.metered_days > 0
    assert season.metered_days <= season.running_days


def test_a_tub_that_was_never_opened_has_no_season(desk: Desk) -> None:
    tub = add_tub(desk, opened=None)
    assert power(desk, tub).season is None


def test_an_estimate_carries_a_range(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled is not None
    kwh = found.season.modelled.kwh
    assert 0.0 < kwh.low < kwh.value < kwh.high
    assert found.season.modelled_days == 51


def test_months_and_weeks_add_up_to_the_season(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    found = power(desk, tub)
    for parts in (found.months, found.weeks):
        kwh = sum(part.modelled.kwh.value for part in parts if part.modelled)
        assert kwh == pytest.approx(modelled_kwh(found), rel=1e-9)


def test_the_meter_goes_before_the_model_and_the_rest_is_filled(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    before = power(desk, tub)
    read_kwh(desk, tub, date(2026, 5, 1), 100.0)
    read_kwh(desk, tub, date(2026, 6, 20), 160.0)
    found = power(desk, tub)
    assert before.season is not None
    assert before.season.filled_kwh == before.season.modelled.kwh if before.season.modelled else 0
    assert found.season is not None
    assert found.season.filled_kwh is not None
    # 60 kWh metered from 2 May on; only 1 May is left to the model.
    assert 60.0 < found.season.filled_kwh.value < 63.0
    assert found.season.filled_kwh.high - found.season.filled_kwh.low < 1.5


def test_costs_follow_the_price(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    assert not power(desk, tub).has_price
    change_setting(desk, POWER_PRICE, "0.30")
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled is not None
    assert found.season.modelled.cost_minor is not None
    assert found.season.modelled.cost_minor.value == pytest.approx(30 * modelled_kwh(found))


def test_a_resting_chiller_costs_nothing_but_the_pump(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    enter_state(desk, tub, TubState.CHILLER_RESTING, date(2026, 6, 1))
    june = power(desk, tub).month
    assert june is not None
    assert june.modelled is not None
    assert june.modelled.kwh.value == pytest.approx(20 * 24 * 0.040)
    assert june.modelled.run_h.value == 0.0
    assert june.modelled.starts.value == 0.0


def test_the_starts_of_the_compressor_are_those_of_its_thermostat(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled is not None
    counted = found.season.modelled
    assert counted.starts.low <= counted.starts.value <= counted.starts.high
    assert 0.0 < counted.run_h.value / counted.starts.value < 24.0
    assert sum(month.modelled.starts.value for month in found.months if month.modelled) == (
        pytest.approx(counted.starts.value)
    )


def test_a_closed_season_ends_with_its_closing(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    enter_state(desk, tub, TubState.CLOSED, date(2026, 6, 1))
    season = power(desk, tub).season
    assert season is not None
    assert (season.last, season.running_days) == (date(2026, 6, 1), 31)


def test_fewer_pump_hours_and_a_better_wall_cost_less(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    whole = modelled_kwh(power(desk, tub))
    with desk.read() as connection:
        described = read_build(connection, tub).described
    change_build(desk, tub, replace(described, pump_hours_per_day=8.0, wall="xps_80_wood_20"))
    assert modelled_kwh(power(desk, tub)) < 0.7 * whole
    undo(desk)
    assert modelled_kwh(power(desk, tub)) == pytest.approx(whole)


def test_only_what_differs_from_the_profile_is_kept(desk: Desk, tub: TubId) -> None:
    with desk.read() as connection:
        described = read_build(connection, tub).described
    change_build(desk, tub, replace(described, shading=0.5))
    with desk.read() as connection:
        build = read_build(connection, tub)
    assert build.told == frozenset({"shading"})
    assert build.described.shading == 0.5


def test_a_build_that_cannot_be_is_refused(desk: Desk, tub: TubId) -> None:
    with desk.read() as connection:
        described = read_build(connection, tub).described
    with pytest.raises(OutOfRangeError, match="shading"):
        change_build(desk, tub, replace(described, shading=1.5))
    with pytest.raises(InputError, match="wood_40"):
        change_build(desk, tub, replace(described, wall="straw"))


def test_a_season_on_record_is_told_whole(desk: Desk, tub: TubId, clock: StillClock) -> None:
    type_monthly_means(desk, tub, MEANS)
    clock.go(days=180)
    found = power(desk, tub)
    assert found.season is not None
    assert found.season.modelled_days == 231
    assert found.season.first + timedelta(days=230) == found.season.last
