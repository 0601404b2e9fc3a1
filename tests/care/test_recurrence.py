"""Recurrence rules: what is refused, and where RFC 5545 is followed and libraries differ."""

from __future__ import annotations

from datetime import date
from itertools import islice

import pytest

from tests.care.builders import day, days
from tubcare.care.recurrence import compile_rule
from tubcare.errors import InputError


def _first(rule: str, start: str, count: int) -> tuple[date, ...]:
    return tuple(islice(compile_rule(rule, day(start)).dates(day(start)), count))


@pytest.mark.parametrize(
    ("rule", "part"),
    [
        ("", "RRULE"),
        ("FREQ", "FREQ"),
        ("INTERVAL=2", "FREQ"),
        ("FREQ=HOURLY", "FREQ"),
        ("FREQ=FORTNIGHTLY", "FREQ"),
        ("FREQ=DAILY;INTERVAL=0", "INTERVAL"),
        ("FREQ=DAILY;INTERVAL=-1", "INTERVAL"),
        ("FREQ=DAILY;INTERVAL=99999", "INTERVAL"),
        ("FREQ=DAILY;COUNT=0", "COUNT"),
        ("FREQ=DAILY;COUNT=99999999999999999999", "COUNT"),
        ("FREQ=DAILY;COUNT=3;UNTIL=20270101", "COUNT"),
        ("FREQ=DAILY;UNTIL=20270101T090000Z", "UNTIL"),
        ("FREQ=DAILY;UNTIL=20270230", "UNTIL"),
        ("FREQ=DAILY;UNTIL=20251231", "UNTIL"),
        ("FREQ=DAILY;BYHOUR=9", "BYHOUR"),
        ("FREQ=DAILY;BYMONTH=13", "BYMONTH"),
        ("FREQ=DAILY;BYMONTH=-1", "BYMONTH"),
        ("FREQ=MONTHLY;BYMONTHDAY=0", "BYMONTHDAY"),
        ("FREQ=MONTHLY;BYMONTHDAY=32", "BYMONTHDAY"),
        ("FREQ=MONTHLY;BYDAY=XX", "BYDAY"),
        ("FREQ=MONTHLY;BYDAY=0MO", "BYDAY"),
        ("FREQ=MONTHLY;BYDAY=6MO", "BYDAY"),
        ("FREQ=YEARLY;BYDAY=54MO", "BYDAY"),
        ("FREQ=WEEKLY;BYDAY=2MO", "BYDAY"),
        ("FREQ=WEEKLY;BYMONTHDAY=1", "BYMONTHDAY"),
        ("FREQ=MONTHLY;BYYEARDAY=1", "BYYEARDAY"),
        ("FREQ=MONTHLY;BYWEEKNO=1", "BYWEEKNO"),
        ("FREQ=YEARLY;BYWEEKNO=1;BYDAY=1MO", "BYDAY"),
        ("FREQ=MONTHLY;BYSETPOS=1", "BYSETPOS"),
        ("FREQ=DAILY;BYDAY=MO;BYSETPOS=2", "BYSETPOS"),
        ("FREQ=WEEKLY;BYDAY=MO,TU;BYSETPOS=3", "BYSETPOS"),
        ("FREQ=DAILY;WKST=XX", "WKST"),
        ("FREQ=DAILY;FREQ=DAILY", "FREQ"),
        ("FREQ=YEARLY;BYEASTER=0", "BYEASTER"),
        ("FREQ=MONTHLY;SKIP=BACKWARD", "SKIP"),
        ("FREQ=DAILY;" + "BYMONTH=1;" * 200, "RRULE"),
    ],
)
def test_a_rule_that_cannot_be_used_is_refused_by_the_name_of_its_part(
    rule: str, part: str
) -> None:
    with pytest.raises(InputError) as caught:
        compile_rule(rule, date(2026, 1, 1))

    assert caught.value.field == part


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=31",
        "FREQ=DAILY;BYMONTH=4;BYMONTHDAY=31",
        "FREQ=YEARLY;BYYEARDAY=1;BYMONTH=2",
        "FREQ=YEARLY;INTERVAL=2;BYYEARDAY=366",
        "FREQ=DAILY;INTERVAL=7;BYDAY=MO",
        "FREQ=YEARLY;BYWEEKNO=20;BYMONTH=1;BYDAY=MO",
    ],
)
def test_a_rule_that_never_comes_true_is_refused(rule: str) -> None:
    # A Thursday in an odd year.
    with pytest.raises(InputError, match="forty years"):
        compile_rule(rule, date(2025, 1, 2))


def test_a_leap_day_on_a_monday_is_waited_for() -> None:
    # 29 February 2044 is a Monday, and the next one after it is in 2072 (perpetual calendar).
    assert _first("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29;BYDAY=MO", "2026-01-01", 2) == days(
        "2044-02-29", "2072-02-29"
    )


def test_29_february_may_need_all_of_eight_years() -> None:
    # 2100 is no leap year (Gregorian calendar).
    assert _first("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29", "2096-03-01", 1) == days("2104-02-29")


def test_monthly_on_the_31st_leaves_short_months_out() -> None:
    # RFC 5545 section 3.3.10: dates that do not exist are ignored.
    assert _first("FREQ=MONTHLY", "2026-01-31", 3) == days(
        "2026-01-31", "2026-03-31", "2026-05-31"
    )


def test_the_last_day_of_each_month_is_minus_one() -> None:
    found = _first("FREQ=MONTHLY;BYMONTHDAY=-1", "2028-01-31", 3)
    assert found == days("2028-01-31", "2028-02-29", "2028-03-31")


def test_the_31st_or_else_the_last_day_is_a_choice_by_position() -> None:
    found = _first("FREQ=MONTHLY;BYMONTHDAY=28,29,30,31;BYSETPOS=-1", "2026-01-31", 3)
    assert found == days("2026-01-31", "2026-02-28", "2026-03-31")


def test_plain_and_numbered_days_are_listed_together() -> None:
    # By hand: RFC 5545 lists BYDAY values; 7 November 2026 is the first Saturday, Mondays are
    # 2, 9, 16, 23, 30.
    rule = compile_rule("FREQ=MONTHLY;BYDAY=MO,1SA", date(2026, 11, 1))
    found = tuple(rule.between(date(2026, 11, 1), date(2026, 11, 30)))
    assert found == days(
        "2026-11-02", "2026-11-07", "2026-11-09", "2026-11-16", "2026-11-23", "2026-11-30"
    )


def test_positions_count_over_the_whole_of_a_week_that_the_rule_begins_in() -> None:
    # 4 November 2026 is a Wednesday: the second of Monday, Wednesday, Friday.
    found = _first("FREQ=WEEKLY;BYDAY=MO,WE,FR;BYSETPOS=2", "2026-11-04", 2)
    assert found == days("2026-11-04", "2026-11-11")


def test_a_week_number_without_days_keeps_the_weekday_of_the_start() -> None:
    # RFC 5545 section 3.3.10: what a rule leaves out comes from its start. ISO week 20 of 2027
    # begins on Monday 17 May; the start, 14 May 2026, is a Thursday of week 20.
    found = _first("FREQ=YEARLY;BYWEEKNO=20", "2026-05-14", 2)
    assert found == days("2026-05-14", "2027-05-20")


def test_week_one_may_begin_in_the_old_year() -> None:
    # ISO 8601: 30 December 2024 is the Monday of week 1 of 2025.
    found = _first("FREQ=YEARLY;BYWEEKNO=1;BYDAY=MO", "2024-06-01", 2)
    assert found == days("2024-12-30", "2025-12-29")


def test_a_negative_week_number_counts_from_the_last_week() -> None:
    # ISO 8601: 2026 has 53 weeks; 28 December begins the last, 2 January 2026 lies in week 1.
    found = _first("FREQ=YEARLY;BYWEEKNO=-1;BYDAY=MO", "2026-01-01", 1)
    assert found == days("2026-12-28")


def test_a_start_that_does_not_fit_is_no_date_and_does_not_count() -> None:
    found = _first("FREQ=WEEKLY;BYDAY=SU;COUNT=2", "2026-11-04", 5)
    assert found == days("2026-11-08", "2026-11-15")


def test_until_is_the_last_date_itself() -> None:
    found = _first("FREQ=DAILY;UNTIL=20261103", "2026-11-01", 9)
    assert found == days("2026-11-01", "2026-11-02", "2026-11-03")


def test_a_season_of_months_may_wrap_over_new_year() -> None:
    found = _first("FREQ=MONTHLY;BYMONTH=11,12,1,2;BYMONTHDAY=1", "2026-11-01", 5)
    assert found == days("2026-11-01", "2026-12-01", "2027-01-01", "2027-02-01", "2027-11-01")


def test_lower_case_and_the_name_of_the_property_are_taken() -> None:
    assert _first("rrule:freq=daily;interval=2", "2026-11-01", 2) == days(
        "2026-11-01", "2026-11-03"
    )


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=DAILY;INTERVAL=36525;BYMONTH=2;BYMONTHDAY=29",
        "FREQ=WEEKLY;INTERVAL=5217;BYMONTH=2;BYDAY=MO",
        "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=29;COUNT=36525",
    ],
)
def test_no_rule_can_hang(rule: str) -> None:
    try:
        compiled = compile_rule(rule, date(2024, 2, 29))
    except InputError:
        return
    assert len(list(islice(compiled.dates(date(2024, 2, 29)), 50))) <= 50


def test_a_rule_ends_with_the_last_year_there_is() -> None:
    rule = compile_rule("FREQ=YEARLY;BYWEEKNO=1;BYDAY=MO,SU", date(9990, 1, 1))
    assert len(list(rule.dates(date(9990, 1, 1)))) == 20


@pytest.mark.parametrize("frequency", ["DAILY", "WEEKLY", "MONTHLY", "YEARLY"])
def test_the_last_day_of_the_calendar_is_the_last_date(frequency: str) -> None:
    rule = compile_rule(f"FREQ={frequency};COUNT=5", date(9999, 12, 31))
    assert list(rule.dates(date(9990, 1, 1))) == [date(9999, 12, 31)]
    assert rule.between(date(9999, 12, 1), date(9999, 12, 31)) == [date(9999, 12, 31)]


def test_a_monthly_rule_runs_to_the_last_day_of_the_calendar() -> None:
    rule = compile_rule("FREQ=MONTHLY;BYMONTHDAY=-1", date(2026, 1, 3))
    assert list(rule.dates(date(9999, 12, 1))) == [date(9999, 12, 31)]
