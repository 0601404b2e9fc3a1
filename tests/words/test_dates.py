"""Dates: shown by the locale's habits, read back strictly."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.words.test_numbers import SPEECHES
from tubcare.errors import InputError
from tubcare.words.dates import (
    clock_time,
    date_range,
    day_and_month,
    first_weekday,
    long_date,
    medium_date,
    minutes,
    month_and_year,
    month_name,
    relative_day,
    short_date,
    weekday,
    weekday_and_day,
    weekday_date,
)
from tubcare.words.dates_typed import parse_clock_time, parse_date, parse_minutes
from tubcare.words.locale import Speech, speech_for

TODAY = date(2026, 5, 12)


@given(st.sampled_from(SPEECHES), st.dates(date(1900, 1, 1), date(2199, 12, 31)))
def test_every_shown_date_reads_back_the_same(speech: Speech, day: date) -> None:
    for show in (short_date, medium_date, long_date):
        assert parse_date(speech, "date", show(speech, day), TODAY) == day
    assert parse_date(speech, "date", day.isoformat(), TODAY) == day


@given(st.sampled_from(SPEECHES), st.integers(-180, 180))
def test_a_date_without_its_year_is_the_nearest(speech: Speech, distance: int) -> None:
    day = TODAY + timedelta(days=distance)
    for shown in (
        day_and_month(speech, day),
        weekday_date(speech, day),
        relative_day(speech, day, TODAY),
    ):
        assert parse_date(speech, "date", shown, TODAY) == day


@pytest.mark.parametrize(
    "text",
    [
        "",
        "12.5.26",
        "31/04/2026",
        "2026-02-29",
        "soon",
        "12",
        "13/13/2026",
        "1/2/3/2026",
        "0/2200000000",
        "9" * 9000,
    ],
)
def test_what_is_not_one_certain_date_is_refused(english: Speech, text: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_date(english, "date", text, TODAY)
    assert caught.value.field == "date"


@given(st.sampled_from(SPEECHES), st.text(max_size=15))
def test_any_text_is_a_date_or_an_input_error(speech: Speech, text: str) -> None:
    with suppress(InputError):
        assert parse_date(speech, "date", text, TODAY) <= date.max


@given(st.sampled_from(SPEECHES), st.times())
def test_every_shown_time_of_day_reads_back_the_same(speech: Speech, moment: time) -> None:
    minute = moment.replace(second=0, microsecond=0, fold=0)
    assert parse_clock_time(speech, "at", clock_time(speech, minute)) == minute


@pytest.mark.parametrize("text", ["", "24:00", "7:60", "13 pm", "0 am", "noon", "7:3", "9" * 99])
def test_what_is_no_time_of_day_is_refused(english: Speech, text: str) -> None:
    with pytest.raises(InputError, match="7:30"):
        parse_clock_time(english, "at", text)


def test_numbers_follow_the_order_of_the_locale(english: Speech) -> None:
    american = speech_for({}, chosen="en_US")
    assert parse_date(english, "date", "5/12/2026", TODAY) == date(2026, 12, 5)
    assert parse_date(american, "date", "5/12/2026", TODAY) == date(2026, 5, 12)
    assert parse_date(american, "date", "5/12", TODAY) == date(2026, 5, 12)


def test_days_near_today_are_told_from_today(english: Speech) -> None:
    told = [relative_day(english, TODAY + timedelta(days=n), TODAY) for n in (-2, -1, 0, 1, 2)]
    assert told == ["2 days ago", "yesterday", "today", "tomorrow", "in 2 days"]


def test_dates_look_as_people_write_them(english: Speech) -> None:
    assert weekday_date(english, TODAY) == "Tue 12 May"
    assert day_and_month(english, TODAY, TODAY) == "12 May"
    assert day_and_month(english, date(2025, 5, 12), TODAY) == "12 May 2025"
    assert weekday(english, TODAY) == "Tuesday"
    assert month_and_year(english, TODAY) == "May 2026"
    assert month_name(english, 5) == "May"
    assert date_range(english, TODAY, date(2026, 5, 17)) == "12 May to 17 May"
    assert date_range(english, TODAY, TODAY) == "12 May"


# CLDR supplemental week data: Monday in the United Kingdom, Sunday in the United States,
# Saturday in Egypt.
@pytest.mark.parametrize(("tag", "starts"), [("en_GB", 0), ("en_US", 6), ("ar_EG", 5)])
def test_a_week_starts_where_the_locale_says(tag: str, starts: int) -> None:
    speech = speech_for({}, chosen=tag)
    assert first_weekday(speech) == starts


def test_the_time_is_that_on_the_wall(english: Speech) -> None:
    assert clock_time(english, time(14, 5)) == "14:05"
    assert clock_time(english, datetime(2026, 5, 12, 7, 0, tzinfo=UTC)) == "07:00"


@given(st.sampled_from(SPEECHES), st.integers(0, 7 * 24 * 60))
def test_every_shown_length_of_time_reads_back_the_same(speech: Speech, count: int) -> None:
    assert parse_minutes(speech, "minutes", minutes(speech, count)) == count


@pytest.mark.parametrize(("text", "count"), [("12", 12), ("1:30", 90), ("2h", 120), ("90m", 90)])
def test_lengths_of_time_are_typed_in_the_usual_ways(
    english: Speech, text: str, count: int
) -> None:
    assert parse_minutes(english, "minutes", text) == count


@pytest.mark.parametrize("text", ["", "-5", "1.5", "an hour", "1:75", "99999 min"])
def test_other_lengths_of_time_are_refused(english: Speech, text: str) -> None:
    with pytest.raises(InputError):
        parse_minutes(english, "minutes", text)


@pytest.mark.parametrize(
    ("tag", "told"), [("en_GB", "Tue 12"), ("de_DE", "Di., 12."), ("fi_FI", "ti 12.")]
)
def test_a_day_among_days_of_one_month_leaves_the_month_out(tag: str, told: str) -> None:
    # Unicode CLDR, skeleton Ed, as Babel holds it.
    assert weekday_and_day(speech_for({}, chosen=tag), date(2026, 5, 12)) == told
