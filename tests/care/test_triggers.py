"""The day that each kind of trigger asks for, and the window around it."""

from __future__ import annotations

import pytest

from tests.care.builders import (
    at,
    day,
    days,
    done,
    due,
    every,
    open_one,
    reading,
    rule,
    skipped,
    task,
    tub,
)
from tubcare.care.model import (
    Counter,
    CounterState,
    ElapsedReason,
    FirstReason,
    InspectionResult,
    Interval,
    OnceReason,
    OnceTrigger,
    Period,
    Range,
    ReadingReason,
    ReadingTrigger,
    RuleReason,
    Status,
    Tolerance,
    UseReason,
    UseTrigger,
    parse_condition,
)
from tubcare.care.occurrences import occurrence, occurrences

OPEN = tub()
PH = ReadingTrigger(condition=parse_condition("ph outside range"))
RANGES = {"ph": Range(low=7.2, high=7.6)}


# --- calendar


def test_a_calendar_task_is_due_on_its_next_date() -> None:
    weekly = rule("FREQ=WEEKLY;BYDAY=SU")
    found = open_one(task(weekly), done("2026-05-03"), OPEN, "2026-05-05")
    assert found.due_on == day("2026-05-10")
    assert found.reason == RuleReason(rule="FREQ=WEEKLY;BYDAY=SU", on=day("2026-05-10"))
    assert found.status is Status.COMING


def test_missed_dates_collapse_into_the_newest_and_are_told() -> None:
    weekly = rule("FREQ=WEEKLY;BYDAY=SU")
    found = open_one(task(weekly), done("2026-05-03"), OPEN, "2026-05-26")
    assert found.due_on == day("2026-05-24")
    assert found.missed == days("2026-05-10", "2026-05-17")


def test_work_done_early_closes_its_date_and_the_rule_stands() -> None:
    weekly = rule("FREQ=WEEKLY;BYDAY=SU")
    facts = done("2026-05-08", due="2026-05-10", key="start:1@2026-05-10")
    assert due(task(weekly), facts, OPEN, "2026-05-08") == day("2026-05-17")


def test_dates_before_the_task_began_are_none_of_its_own() -> None:
    weekly = rule("FREQ=WEEKLY;BYDAY=SU", "2020-01-01")
    found = open_one(task(weekly, starts_on="2026-05-04"), None, OPEN, "2026-05-04")
    assert found.due_on == day("2026-05-10")
    assert found.missed == ()


def test_a_rule_that_has_ended_leaves_nothing_due() -> None:
    ended = task(rule("FREQ=DAILY;COUNT=3"))
    assert occurrence(ended, done("2026-01-03"), OPEN, day("2026-02-01")) is None


def test_a_date_missed_for_years_is_still_open() -> None:
    old = task(rule("FREQ=DAILY;COUNT=1", "2000-01-01"), starts_on="2000-01-01")
    assert due(old, None, OPEN, "2026-01-01") == day("2000-01-01")


# --- elapsed


def test_an_interval_runs_from_the_last_time() -> None:
    found = open_one(task(every(30)), done("2026-05-12", due="2026-05-01"), OPEN, "2026-06-12")
    assert found.due_on == day("2026-06-11")
    assert found.reason == ElapsedReason(
        every=Interval(count=30, period=Period.DAY), since=day("2026-05-12")
    )


@pytest.mark.parametrize(
    ("last", "expected"),
    [("2026-01-31", "2026-02-28"), ("2028-01-31", "2028-02-29"), ("2026-03-15", "2026-04-15")],
)
def test_months_are_clamped_to_short_ones(last: str, expected: str) -> None:
    assert due(task(every(1, Period.MONTH)), done(last), OPEN, last) == day(expected)


def test_the_day_of_the_month_comes_back_after_a_short_month() -> None:
    monthly = task(every(1, Period.MONTH))
    february = open_one(monthly, done("2026-01-31"), OPEN, "2026-02-01")
    facts = done("2026-02-28", due="2026-02-28", anchor_day=february.anchor_day)
    assert due(monthly, facts, OPEN, "2026-03-01") == day("2026-03-31")


def test_work_off_its_date_sets_a_new_day_of_the_month() -> None:
    facts = done("2026-03-05", due="2026-02-28", anchor_day=31)
    assert due(task(every(1, Period.MONTH)), facts, OPEN, "2026-03-06") == day("2026-04-05")


def test_yearly_work_of_29_february_falls_on_the_28th() -> None:
    yearly = task(every(1, Period.YEAR))
    assert due(yearly, done("2024-02-29"), OPEN, "2024-03-01") == day("2025-02-28")


# --- use


def _dips(now: float, rate: float, as_of: str = "2026-06-01") -> CounterState:
    return CounterState(now=now, daily_rate=rate, as_of=day(as_of))


def test_the_date_of_a_use_task_is_forecast_from_the_recent_rate() -> None:
    dipped = tub(counters={Counter.DIP: _dips(110, 2.0)})
    facts = done("2026-05-20", counters={Counter.DIP: 100})
    found = open_one(task(UseTrigger(counter=Counter.DIP, amount=40)), facts, dipped, "2026-06-01")
    assert found.about
    assert found.due_on == day("2026-06-16")
    assert found.reason == UseReason(counter=Counter.DIP, amount=40, used=10, daily_rate=2.0)


def test_a_use_task_that_reached_its_amount_is_due_since_then() -> None:
    dipped = tub(counters={Counter.DIP: _dips(146, 2.0)})
    facts = done("2026-05-01", counters={Counter.DIP: 100})
    found = open_one(task(UseTrigger(counter=Counter.DIP, amount=40)), facts, dipped, "2026-06-01")
    assert not found.about
    assert found.due_on == day("2026-05-29")


def test_a_use_task_without_use_has_no_date() -> None:
    resting = tub(counters={Counter.DIP: _dips(110, 0.0)})
    each = task(UseTrigger(counter=Counter.DIP, amount=40))
    facts = done("2026-05-20", counters={Counter.DIP: 100})
    assert occurrence(each, facts, resting, day("2026-06-01")) is None
    assert occurrence(each, facts, OPEN, day("2026-06-01")) is None


def test_the_earliest_of_several_triggers_wins() -> None:
    both = task(every(30), UseTrigger(counter=Counter.DIP, amount=40))
    facts = done("2026-05-20", counters={Counter.DIP: 100})
    busy = tub(counters={Counter.DIP: _dips(130, 5.0)})
    quiet = tub(counters={Counter.DIP: _dips(101, 0.1)})
    assert isinstance(open_one(both, facts, busy, "2026-06-01").reason, UseReason)
    assert isinstance(open_one(both, facts, quiet, "2026-06-01").reason, ElapsedReason)


# --- reading


def test_a_bad_reading_makes_it_due_at_once() -> None:
    off = tub(readings=(reading("ph", 7.9, "2026-05-05"),), ranges=RANGES)
    found = open_one(task(PH), done("2026-05-01"), off, "2026-05-05")
    assert found.status is Status.DUE
    assert found.due_on == day("2026-05-05")
    assert isinstance(found.reason, ReadingReason)
    assert found.reason.value == 7.9


def test_a_good_reading_closes() -> None:
    fine = tub(readings=(reading("ph", 7.4, "2026-05-06"),), ranges=RANGES)
    assert occurrence(task(PH), done("2026-05-01"), fine, day("2026-05-06")) is None


def test_only_readings_newer_than_the_last_completion_count() -> None:
    off = tub(readings=(reading("ph", 7.9, "2026-05-05", "09:00"),), ranges=RANGES)
    before = done("2026-05-05", at=at("2026-05-05", "08:00"))
    after = done("2026-05-05", at=at("2026-05-05", "10:00"))
    assert occurrence(task(PH), before, off, day("2026-05-05")) is not None
    assert occurrence(task(PH), after, off, day("2026-05-05")) is None


def test_work_entered_later_for_an_earlier_day_does_not_hide_newer_readings() -> None:
    off = tub(readings=(reading("ph", 7.9, "2026-05-07"),), ranges=RANGES)
    entered_later = done("2026-05-05", at=at("2026-05-09"))
    assert occurrence(task(PH), entered_later, off, day("2026-05-09")) is not None


def test_a_dose_that_is_still_settling_suppresses() -> None:
    settles = {"ph": at("2026-05-05", "16:00")}
    early = tub(
        readings=(reading("ph", 7.9, "2026-05-05", "12:00"),), ranges=RANGES, settles_at=settles
    )
    late = tub(
        readings=(reading("ph", 7.9, "2026-05-05", "17:00"),), ranges=RANGES, settles_at=settles
    )
    assert occurrence(task(PH), None, early, day("2026-05-05")) is None
    assert occurrence(task(PH), None, late, day("2026-05-05")) is not None


# --- once


def test_a_single_date_is_due_once() -> None:
    single = task(OnceTrigger(on=day("2026-05-01")))
    found = open_one(single, None, OPEN, "2026-04-01")
    assert (found.due_on, found.reason) == (day("2026-05-01"), OnceReason(on=day("2026-05-01")))
    assert (
        occurrence(single, done("2026-04-01", due="2026-05-01"), OPEN, day("2026-05-01")) is None
    )
    assert (
        occurrence(single, skipped("2026-05-02", due="2026-05-01"), OPEN, day("2026-06-01"))
        is None
    )


# --- inspections


def test_the_result_of_an_inspection_chooses_the_next_interval() -> None:
    intervals = {
        InspectionResult.GOOD: Interval(count=1, period=Period.YEAR),
        InspectionResult.DOUBTFUL: Interval(count=1, period=Period.MONTH),
    }
    liner = task(every(6, Period.MONTH), result_intervals=intervals)
    good = done("2026-05-01", result=InspectionResult.GOOD)
    doubtful = done("2026-05-01", result=InspectionResult.DOUBTFUL)
    bad = done("2026-05-01", result=InspectionResult.BAD)
    assert due(liner, good, OPEN, "2026-05-02") == day("2027-05-01")
    assert due(liner, doubtful, OPEN, "2026-05-02") == day("2026-06-01")
    assert due(liner, bad, OPEN, "2026-05-02") == day("2026-11-01")


# --- windows


@pytest.mark.parametrize(
    ("interval", "on_time_days", "overdue_days"),
    [(7, 1, 2), (14, 1, 3), (30, 3, 7), (100, 10, 25)],
)
def test_on_time_is_a_tenth_of_the_interval_and_late_a_quarter(
    interval: int, on_time_days: int, overdue_days: int
) -> None:
    found = open_one(task(every(interval)), done("2026-01-01"), OPEN, "2026-01-02")
    assert found.late_after is not None
    assert found.overdue_after is not None
    assert (found.late_after - found.due_on).days == on_time_days
    assert (found.overdue_after - found.due_on).days == overdue_days
    assert (found.due_on - found.opens_on).days == on_time_days


@pytest.mark.parametrize(
    ("today", "status"),
    [
        ("2026-05-30", Status.COMING),
        ("2026-05-31", Status.DUE),
        ("2026-06-03", Status.DUE),
        ("2026-06-04", Status.LATE),
        ("2026-06-07", Status.LATE),
        ("2026-06-08", Status.OVERDUE),
    ],
)
def test_a_status_follows_the_window(today: str, status: Status) -> None:
    assert open_one(task(every(30)), done("2026-05-01"), OPEN, today).status is status


def test_a_task_may_have_its_own_tolerance() -> None:
    own = task(every(30), tolerance=Tolerance(on_time_days=0, overdue_days=1))
    assert open_one(own, done("2026-05-01"), OPEN, "2026-06-01").status is Status.LATE
    assert open_one(own, done("2026-05-01"), OPEN, "2026-06-02").status is Status.OVERDUE


def test_a_task_without_grace_is_late_the_day_after() -> None:
    strict = task(every(30), no_grace=True)
    assert open_one(strict, done("2026-05-01"), OPEN, "2026-05-31").status is Status.DUE
    assert open_one(strict, done("2026-05-01"), OPEN, "2026-06-01").status is Status.LATE


def test_a_cosmetic_task_never_escalates() -> None:
    found = open_one(task(every(30), cosmetic=True), done("2020-05-01"), OPEN, "2026-06-01")
    assert found.status is Status.DUE
    assert (found.late_after, found.overdue_after) == (None, None)


# --- the first time


def test_without_history_the_chosen_first_date_counts() -> None:
    found = open_one(task(every(30), first_due_on="2026-01-12"), None, OPEN, "2026-01-01")
    assert (found.due_on, found.reason) == (day("2026-01-12"), FirstReason(on=day("2026-01-12")))


def test_without_history_or_choice_an_interval_runs_from_the_start() -> None:
    assert due(task(every(30)), None, OPEN, "2026-01-01") == day("2026-01-31")


def test_a_use_task_without_history_takes_the_chosen_first_date_too() -> None:
    each = task(UseTrigger(counter=Counter.DIP, amount=40), first_due_on="2026-01-12")
    assert due(each, None, OPEN, "2026-01-01") == day("2026-01-12")


def test_the_list_keeps_the_order_of_its_tasks() -> None:
    tasks = [task(every(count), number=count) for count in (9, 3, 6)]
    found = occurrences(tasks, {}, {OPEN.tub_id: OPEN}, day("2026-01-01"))
    assert [each.task_id for each in found] == [9, 3, 6]
