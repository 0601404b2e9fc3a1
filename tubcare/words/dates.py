"""Dates and lengths of time for people."""

from __future__ import annotations

from datetime import date, time
from typing import TYPE_CHECKING, Literal

from tubcare.words.numbers import NO_BREAK_SPACE, number

if TYPE_CHECKING:
    from datetime import datetime

    from babel import Locale

    from tubcare.words.locale import Speech


def short_date(speech: Speech, day: date) -> str:
    """Return a date in numbers, the year in full: 12.5.2026."""
    return by_skeleton(day, "yMd", speech.formats)


def medium_date(speech: Speech, day: date) -> str:
    """Return a date with the month's short name: 12 May 2026."""
    return by_skeleton(day, "yMMMd", speech.words)


def long_date(speech: Speech, day: date) -> str:
    """Return a date in full: Tuesday, 12 May 2026."""
    from babel.dates import format_date  # noqa: PLC0415  Babel costs 20 ms

    return format_date(day, "full", locale=speech.words)


def day_and_month(speech: Speech, day: date, today: date | None = None) -> str:
    """Return a date without its year, as in 12 May; with it where half a year away or more.

    `today` None leaves the year out.
    """
    if today is not None and abs((day - today).days) > 183:
        return medium_date(speech, day)
    return by_skeleton(day, "MMMd", speech.words)


def weekday_date(speech: Speech, day: date) -> str:
    """Return the weekday and the date: Tue 12 May."""
    return by_skeleton(day, "MMMEd", speech.words)


def weekday_and_day(speech: Speech, day: date) -> str:
    """Return the weekday and the day of the month, where the month is told nearby: Tue 12."""
    return by_skeleton(day, "Ed", speech.words)


def weekday(speech: Speech, day: date) -> str:
    """Return the name of the day of the week, as a heading: Tuesday."""
    name = str(speech.words.days["stand-alone"]["wide"][day.weekday()])
    return name[:1].upper() + name[1:]


def month_and_year(speech: Speech, day: date) -> str:
    """Return the month and year as a heading: May 2026."""
    shown = by_skeleton(day, "yMMMM", speech.words)
    return shown[:1].upper() + shown[1:]


def month_name(speech: Speech, month: int, width: Literal["wide", "abbreviated"] = "wide") -> str:
    """Return the name of a month (1 to 12) standing alone."""
    return str(speech.words.months["stand-alone"][width][month])


def relative_day(speech: Speech, day: date, today: date) -> str:
    """Return how far a day is from today: today, tomorrow, in 3 days, 2 days ago."""
    distance = (day - today).days
    match distance:
        case 0:
            return speech.say("today")
        case 1:
            return speech.say("tomorrow")
        case -1:
            return speech.say("yesterday")
    if distance > 0:
        return speech.say_count("in {n} day", "in {n} days", distance)
    return speech.say_count("{n} day ago", "{n} days ago", -distance)


def date_range(speech: Speech, first: date, last: date) -> str:
    """Return a span of days, both ends included: 11 May to 17 May."""
    if first == last:
        return day_and_month(speech, first)
    return speech.say(
        "{first} to {last}",
        first=day_and_month(speech, first),
        last=day_and_month(speech, last),
    )


def clock_time(speech: Speech, moment: time | datetime) -> str:
    """Return the time of day to the minute; an aware datetime is shown in its own zone."""
    from babel.dates import format_time  # noqa: PLC0415  Babel costs 20 ms

    # Babel moves aware moments to UTC; only the time on the wall is handed on.
    local = time(moment.hour, moment.minute)
    return format_time(local, "short", locale=speech.formats)


def first_weekday(speech: Speech) -> int:
    """Return the day that a week starts on where the person lives, Monday 0 to Sunday 6."""
    return int(speech.formats.first_week_day)


def minutes(speech: Speech, count: int) -> str:
    """Return a length of time: 12 min, 2 h, 1 h 30 min."""
    hours, rest = divmod(count, 60)
    if hours and rest:
        return speech.say(
            "{hours} {minutes}", hours=_hours(speech, hours), minutes=_min(speech, rest)
        )
    return _hours(speech, hours) if hours else _min(speech, rest)


def by_skeleton(day: date, skeleton: str, locale: Locale) -> str:
    """Return a date by a skeleton of the CLDR, which names its parts and leaves their order."""
    from babel.dates import format_skeleton  # noqa: PLC0415  Babel costs 20 ms

    return format_skeleton(skeleton, day, locale=locale)


def _hours(speech: Speech, count: int) -> str:
    return speech.say("{n}{space}h", n=number(speech, count), space=NO_BREAK_SPACE)


def _min(speech: Speech, count: int) -> str:
    return speech.say("{n}{space}min", n=number(speech, count), space=NO_BREAK_SPACE)
