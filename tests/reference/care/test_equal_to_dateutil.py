"""Random rules give the same dates as python-dateutil (github.com/dateutil/dateutil), 2.9 and 4.0.

Left out are the places where dateutil and RFC 5545 section 3.3.10 differ, each with a test of its
own in tests/care/test_recurrence.py: plain and numbered days mixed in BYDAY, BYSETPOS in the first
week, BYWEEKNO without days, and negative week numbers that reach into the next year.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from dateutil.rrule import rrule, rrulestr
from hypothesis import given
from hypothesis import strategies as st

from tubcare.care.recurrence import compile_rule
from tubcare.errors import InputError

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
EIGHT_YEARS = timedelta(days=8 * 366)


def _numbers(low: int, high: int, most: int) -> st.SearchStrategy[str]:
    numbers = st.lists(st.integers(low, high).filter(bool), min_size=1, max_size=most, unique=True)
    return numbers.map(lambda found: ",".join(map(str, found)))


def _sometimes(draw: st.DrawFn, name: str, values: st.SearchStrategy[str]) -> list[str]:
    chance = draw(st.integers(0, 2))
    return [f"{name}={draw(values)}"] if chance == 0 else []


def _by_day(draw: st.DrawFn, frequency: str, *, months: bool, weeks: bool) -> list[str]:
    days = draw(st.lists(st.sampled_from(WEEKDAYS), min_size=1, max_size=4, unique=True))
    numbered = draw(st.booleans())
    if numbered and frequency in {"MONTHLY", "YEARLY"} and not weeks:
        numbers = ["1", "2", "5", "-1", "-2", "+3"]
        if frequency == "YEARLY" and not months:
            numbers += ["20", "-30", "53"]
        days = [draw(st.sampled_from(numbers)) + day for day in days]
    return ["BYDAY=" + ",".join(days)]


@st.composite
def rules(draw: st.DrawFn) -> tuple[str, date]:
    """Draw a rule over dates and its start."""
    frequency = draw(st.sampled_from(("DAILY", "WEEKLY", "MONTHLY", "YEARLY")))
    yearly = frequency == "YEARLY"
    by = _sometimes(draw, "BYMONTH", _numbers(1, 12, 5))
    months = bool(by)
    if frequency != "WEEKLY":
        by += _sometimes(draw, "BYMONTHDAY", _numbers(-31, 31, 4))
    by += _sometimes(draw, "BYYEARDAY", _numbers(-366, 366, 8)) if yearly else []
    weeks = _sometimes(draw, "BYWEEKNO", _numbers(-51, 53, 4)) if yearly else []
    with_days = draw(st.booleans())
    if weeks or with_days:
        by += _by_day(draw, frequency, months=months, weeks=bool(weeks))
    by += weeks
    if by and frequency != "WEEKLY":
        by += _sometimes(draw, "BYSETPOS", _numbers(-6, 6, 3))
    interval = draw(st.sampled_from((1, 1, 1, 2, 3)) | st.integers(1, 100))
    start = draw(st.dates(date(1995, 1, 1), date(2026, 12, 31)))
    head = [f"FREQ={frequency}", f"INTERVAL={interval}", f"WKST={draw(st.sampled_from(WEEKDAYS))}"]
    end = draw(
        st.just([])
        | st.integers(1, 60).map(lambda count: [f"COUNT={count}"])
        | st.integers(0, 5000).map(lambda days: [f"UNTIL={start + timedelta(days=days):%Y%m%d}"])
    )
    return ";".join([*head, *by, *end]), start


def _at_midnight(day: date) -> datetime:
    return datetime.combine(day, time())


def _by_dateutil(text: str, start: date, low: date, high: date) -> list[date]:
    # dateutil would search for a further date up to the year 9999: give every rule an end.
    text, _, count = text.partition(";COUNT=")
    rule = rrulestr(text, dtstart=_at_midnight(start))
    assert isinstance(rule, rrule)
    if "UNTIL" not in text:
        rule = rule.replace(until=_at_midnight(high))
    dates = [each.date() for each in rule][: int(count) if count else None]
    return [day for day in dates if low <= day <= high]


@given(rules(), st.integers(-30, 4000), st.sampled_from((7, 31, 400, 2500)))
def test_a_window_of_any_rule_is_what_dateutil_gives(
    rule: tuple[str, date], offset: int, length: int
) -> None:
    text, start = rule
    low = start + timedelta(days=offset)
    high = low + timedelta(days=length)
    try:
        compiled = compile_rule(text, start)
    except InputError:
        ends = start + EIGHT_YEARS
        assert _by_dateutil(text, start, start, ends) == []
        return

    assert compiled.between(low, high) == _by_dateutil(text, start, low, high)


@given(rules(), st.integers(-30, 4000))
def test_the_next_date_of_any_rule_is_the_first_of_a_window(
    rule: tuple[str, date], offset: int
) -> None:
    text, start = rule
    try:
        compiled = compile_rule(text, start)
    except InputError:
        return
    low = start + timedelta(days=offset)

    following = next(compiled.dates(low), None)
    window = compiled.between(low, low + timedelta(days=1500))
    assert window[:1] == ([following] if following is not None and window else [])
    assert following is None or compiled.between(low, following) == [following]
