"""Plain choices and the rules they stand for; the rules are those of RFC 5545 section 3.8.5.3."""

from __future__ import annotations

from datetime import date

import pytest

from tubcare.care.recurrence import compile_rule
from tubcare.care.rrule_choice import CalendarChoice, choice_of, rule_of
from tubcare.care.terms import Period
from tubcare.errors import InputError

START = date(2026, 5, 6)


@pytest.mark.parametrize(
    ("choice", "rule"),
    [
        (CalendarChoice(period=Period.DAY, every=10), "FREQ=DAILY;INTERVAL=10"),
        (CalendarChoice(period=Period.WEEK, weekdays=(1, 3)), "FREQ=WEEKLY;BYDAY=TU,TH"),
        (CalendarChoice(period=Period.MONTH, weekdays=(4,), nth=1), "FREQ=MONTHLY;BYDAY=1FR"),
        (CalendarChoice(period=Period.MONTH, weekdays=(0,), nth=-1), "FREQ=MONTHLY;BYDAY=-1MO"),
        (CalendarChoice(period=Period.MONTH, month_day=-1), "FREQ=MONTHLY;BYMONTHDAY=-1"),
        (
            CalendarChoice(period=Period.YEAR, every=2, weekdays=(3,), nth=2, month=11),
            "FREQ=YEARLY;INTERVAL=2;BYMONTH=11;BYDAY=2TH",
        ),
        (
            CalendarChoice(period=Period.YEAR, month_day=15, month=4),
            "FREQ=YEARLY;BYMONTH=4;BYMONTHDAY=15",
        ),
    ],
)
def test_a_choice_becomes_its_rule_and_comes_back(choice: CalendarChoice, rule: str) -> None:
    assert rule_of(choice) == rule
    assert choice_of(rule, START) == choice
    assert compile_rule(rule, START).first(START.toordinal()) is not None


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=DAILY;COUNT=10",
        "FREQ=WEEKLY;UNTIL=20261224;BYDAY=TU",
        "FREQ=MONTHLY;BYMONTHDAY=2,15",
        "FREQ=MONTHLY;BYDAY=TU,WE,TH;BYSETPOS=3",
        "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13",
        "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO",
        "FREQ=YEARLY;BYYEARDAY=1,100,200",
        "FREQ=YEARLY;BYMONTH=6,7",
        "FREQ=DAILY;BYMONTH=1",
    ],
)
def test_a_rule_that_says_more_is_no_plain_choice(rule: str) -> None:
    assert choice_of(rule, START) is None


def test_what_a_rule_leaves_out_comes_from_its_start() -> None:
    assert choice_of("FREQ=WEEKLY", START) == CalendarChoice(period=Period.WEEK, weekdays=(2,))
    assert choice_of("FREQ=YEARLY", START) == CalendarChoice(
        period=Period.YEAR, month_day=6, month=5
    )


def test_a_week_needs_a_day() -> None:
    with pytest.raises(InputError, match="at least one day"):
        rule_of(CalendarChoice(period=Period.WEEK))
