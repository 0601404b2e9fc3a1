"""Clocks that are set back, days of 23 and 25 hours on both sides of the equator, 29 February."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from tests.services.histories import laws
from tests.support.dump import assert_same, everything
from tests.support.plans import add_task, add_tub
from tubcare.services.history import undo
from tubcare.services.measures import add_dip, add_readings
from tubcare.services.moments import local_instant, start_of
from tubcare.services.tasks import open_key, task_detail
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.upkeep_work import record_work
from tubcare.services.week import this_week

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId

# Days of the changes in the time zone database: EU directive 2000/84/EC; New Zealand Time Order
# 2007; Chile and Lord Howe as in tzdata (Lord Howe moves by half an hour).
CHANGES = (
    ("Europe/Helsinki", date(2026, 3, 29), 23),
    ("Europe/Helsinki", date(2026, 10, 25), 25),
    ("Pacific/Auckland", date(2026, 9, 27), 23),
    ("Pacific/Auckland", date(2026, 4, 5), 25),
    ("America/Santiago", date(2026, 9, 6), 23),
    ("Australia/Lord_Howe", date(2026, 4, 5), 24.5),
)
DAILY = [{"kind": "elapsed", "every": 1, "period": "day"}]


def due(desk: Desk, task: TaskId) -> date | None:
    found = task_detail(desk, task).open
    return None if found is None else found.due_on


def test_a_clock_set_back_loses_nothing_and_work_goes_on(desk: Desk, clock: StillClock) -> None:
    tub = add_tub(desk)
    task = add_task(desk, tub)
    first = tick_off(desk, task, open_key(desk, task) or "")
    before = everything(desk.store)
    clock.go(days=-3)
    week = this_week(desk)
    assert week.today == date(2026, 4, 28)
    assert due(desk, task) == first.next_due
    add_readings(desk, tub, {"ph": 7.3})
    add_dip(desk, tub)
    second = record_work(desk, task, Work(), restarts=True)
    laws.assert_the_plan_holds(desk, everything(desk.store))
    assert second.completion is not None
    for _ in range(3):
        undo(desk)
    assert_same(everything(desk.store), before)


@pytest.mark.parametrize(("zone", "day", "hours"), CHANGES)
def test_a_day_of_a_clock_change_is_one_day(zone: str, day: date, hours: float) -> None:
    instant, ends = start_of(day, zone), start_of(day + timedelta(days=1), zone)
    assert (ends - instant) / timedelta(hours=1) == hours
    while instant < ends:
        assert instant.astimezone(ZoneInfo(zone)).date() == day
        instant += timedelta(minutes=15)


@pytest.mark.parametrize(("zone", "day", "hours"), CHANGES)
def test_any_local_time_of_such_a_day_is_an_instant_of_that_day(
    zone: str, day: date, hours: float
) -> None:
    instants = [local_instant(day, time(hour, 30), zone) for hour in range(24)]
    assert all(each.astimezone(ZoneInfo(zone)).date() == day for each in instants)
    assert instants == sorted(instants)
    assert len(set(instants)) >= int(hours) - 1


@pytest.mark.parametrize(("zone", "day", "hours"), CHANGES)
def test_daily_work_falls_due_each_day_across_the_change(
    desk: Desk, clock: StillClock, zone: str, day: date, hours: float
) -> None:
    tub = add_tub(desk, zone=zone, opened=date(2026, 1, 1))
    task = add_task(desk, tub, triggers=DAILY, starts_on=day - timedelta(days=3))
    for number in range(-1, 2):
        on = day + timedelta(days=number)
        clock.at = local_instant(on, time(23, 45), zone)
        done = tick_off(desk, task, open_key(desk, task) or "")
        assert (done.on, done.next_due) == (on, on + timedelta(days=1))
    assert hours


def test_yearly_work_of_29_february_keeps_its_day(desk: Desk, clock: StillClock) -> None:
    clock.at = datetime(2024, 2, 29, 12, tzinfo=UTC)
    yearly = [{"kind": "elapsed", "every": 1, "period": "year"}]
    task = add_task(desk, add_tub(desk), triggers=yearly, starts_on=date(2023, 2, 28))
    told = [tick_off(desk, task, open_key(desk, task) or "").next_due]
    for _ in range(4):
        on = told[-1]
        assert on is not None
        clock.set(on)
        told.append(tick_off(desk, task, open_key(desk, task) or "").next_due)
    days = [date(2025, 2, 28), date(2026, 2, 28), date(2027, 2, 28)]
    assert told[:3] == days
    assert told[3] == date(2028, 2, 29)


def test_a_rule_for_29_february_waits_for_the_next_leap_year(
    desk: Desk, clock: StillClock
) -> None:
    clock.at = datetime(2026, 5, 1, 12, tzinfo=UTC)
    rule = "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29"
    leap = [{"kind": "calendar", "rule": rule, "start": "2024-01-01"}]
    task = add_task(desk, add_tub(desk), triggers=leap, starts_on=date(2026, 5, 1))
    assert due(desk, task) == date(2028, 2, 29)
    clock.at = datetime(2028, 2, 29, 12, tzinfo=UTC)
    assert add_dip(desk, on=date(2028, 2, 29)).name == "North"
    assert tick_off(desk, task, open_key(desk, task) or "").next_due == date(2032, 2, 29)
