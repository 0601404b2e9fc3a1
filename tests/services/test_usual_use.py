"""Use triggers on hours that nobody reads: fed by the days on which the tub ran."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.chilled import MEANS, chilled_tub
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task
from tubcare.care.model import Counter, TubState
from tubcare.services.counters import Counters
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_meter_reading
from tubcare.services.power_build import read_build
from tubcare.services.power_change import change_build
from tubcare.services.power_weather import type_monthly_means
from tubcare.services.tubs import change_profile, enter_state, tubs
from tubcare.services.week import this_week

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

ZONE = "Europe/Helsinki"


@pytest.fixture
def clock() -> StillClock:
    return StillClock(noon(2026, 5, 31))


@pytest.fixture
def tub(desk: Desk) -> TubId:
    return chilled_tub(desk, opened=date(2026, 5, 1))


def used(desk: Desk, tub: TubId, counter: Counter, days_ago: int) -> float:
    since = desk.now().replace(day=desk.now().day - days_ago)
    with desk.read() as connection:
        return -Counters(connection, desk.now()).at(tub, counter, since, ZONE)


def test_a_pump_without_a_counter_runs_all_day(desk: Desk, tub: TubId) -> None:
    assert used(desk, tub, Counter.PUMP_H, 10) == pytest.approx(240.0)


def test_the_hours_that_a_person_told_count(desk: Desk, tub: TubId) -> None:
    with desk.read() as connection:
        described = read_build(connection, tub).described
    change_build(desk, tub, replace(described, pump_hours_per_day=8.0))
    assert used(desk, tub, Counter.PUMP_H, 10) == pytest.approx(80.0)


def test_closed_days_do_not_count(desk: Desk, tub: TubId) -> None:
    enter_state(desk, tub, TubState.CLOSED, date(2026, 5, 26))
    assert used(desk, tub, Counter.PUMP_H, 10) == pytest.approx(24 * 4 + 9, abs=0.01)


def test_a_resting_chiller_does_not_run_but_its_pump_does(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    type_monthly_means(desk, tub, MEANS)
    before = used(desk, tub, Counter.CHILLER_H, 10)
    assert 5.0 < before < 120.0
    enter_state(desk, tub, TubState.CHILLER_RESTING, date(2026, 5, 31))
    clock.set(date(2026, 6, 30))
    assert used(desk, tub, Counter.CHILLER_H, 29) == 0.0
    assert used(desk, tub, Counter.PUMP_H, 29) == pytest.approx(24 * 29)


def test_a_counter_that_is_read_goes_before_the_usual_hours(desk: Desk, tub: TubId) -> None:
    for on, hours in ((date(2026, 5, 1), 100), (date(2026, 5, 31), 130)):
        value = MeterValue(counter="pump_h", value_milli=hours * 1000)
        add_meter_reading(desk, tub, value, on=on)
    assert used(desk, tub, Counter.PUMP_H, 30) == pytest.approx(30.0, abs=1.1)


def test_pump_service_falls_due_by_hours_that_nobody_read(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_task(
        desk,
        tub,
        title="Service the pump",
        triggers=[{"kind": "use", "counter": "pump_h", "amount": 720}],
        starts_on=date(2026, 5, 1),
    )
    clock.set(date(2026, 5, 30))
    assert not this_week(desk).due_today
    # 30 days of 24 h make 720 h.
    clock.set(date(2026, 5, 31))
    (due,) = this_week(desk).due_today
    assert due.title == "Service the pump"


def test_a_new_profile_moves_the_usual_hours(desk: Desk, tub: TubId) -> None:
    type_monthly_means(desk, tub, MEANS)
    (only,) = tubs(desk)
    change_profile(desk, tub, replace(only.profile, pump_w=0.0))
    assert used(desk, tub, Counter.PUMP_H, 10) == 0.0
