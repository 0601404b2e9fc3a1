"""Dates, times of day and lengths of time as people type them."""

from __future__ import annotations

import re
from datetime import date, time, timedelta
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.words.dates import (
    by_skeleton,
    day_and_month,
    long_date,
    medium_date,
    minutes,
    relative_day,
    short_date,
    weekday_date,
)
from tubcare.words.numbers import normalised

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.words.locale import Speech

# No date is longer; text beyond it only makes what is cut no date at all.
_LONGEST = 60
_ISO = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})", re.ASCII)
_NUMBERS = re.compile(r"[0-9]+", re.ASCII)
_LENGTH = re.compile(r"(?:(?P<h>[0-9]{1,4}) ?h)? ?(?:(?P<min>[0-9]{1,5}) ?(?:min|m)?)?", re.ASCII)
_CLOCK_TIME = re.compile(r"(?P<h>[0-9]{1,2})(?:[:.h](?P<min>[0-5][0-9]))?(?: uhr)?", re.ASCII)
_CLOCK_LENGTH = re.compile(r"(?P<h>[0-9]{1,4}):(?P<min>[0-5][0-9])", re.ASCII)


def parse_date(speech: Speech, field: str, text: str, today: date) -> date:
    """Return the date that a person typed.

    All that the functions here show is taken, also "today" and "in 3 days"; ISO 8601; numbers in
    the locale's order. A year left out means the one that makes the date nearest to today; a year
    of two digits is refused.

    Raises
    ------
    InputError
        For anything that is not one certain date of the calendar.
    """
    plain = _plain(text)[:_LONGEST]
    iso = _ISO.fullmatch(plain)
    if iso is not None:
        return _real(speech, field, int(iso[1]), int(iso[2]), int(iso[3]))
    found = (
        _relative(speech, plain, today)
        or _numeric(speech, field, plain, today)
        or _written(speech, plain, today)
    )
    if found is None:
        raise InputError(
            field,
            speech.say(
                "“{text}” is not a date; write it like {example}",
                text=text.strip()[:60],
                example=short_date(speech, today),
            ),
        )
    return found


def parse_clock_time(speech: Speech, field: str, text: str) -> time:
    """Return the time of day that a person typed: 7:30, 7.30, 7, or as `clock_time` shows it.

    Raises
    ------
    InputError
        For anything else.
    """
    half, plain = _half_of_day(speech, normalised(text).casefold())
    found = _CLOCK_TIME.fullmatch(plain)
    hour, minute = (int(found["h"]), int(found["min"] or 0)) if found is not None else (99, 0)
    if half is None and hour < 24:
        return time(hour, minute)
    if half is not None and 1 <= hour <= 12:
        return time(hour % 12 + (12 if half == "pm" else 0), minute)
    raise InputError(
        field, speech.say("“{text}” is not a time of day; write 7:30", text=text.strip()[:60])
    )


def parse_minutes(speech: Speech, field: str, text: str) -> int:
    """Return the minutes that a person typed: 12, 12 min, 1 h 30 min, 1:30.

    Raises
    ------
    InputError
        For anything else, and for more than a week.
    """
    plain = normalised(text).casefold()
    for separator in ",.'":
        plain = re.sub(rf"(?<=[0-9])\{separator}(?=[0-9]{{3}}(?![0-9]))", "", plain)
    found = _CLOCK_LENGTH.fullmatch(plain) or _LENGTH.fullmatch(plain)
    if found is None or not plain:
        raise InputError(
            field,
            speech.say(
                "“{text}” is not a length of time; write 12 or 1:30", text=text.strip()[:60]
            ),
        )
    count = int(found["h"] or 0) * 60 + int(found["min"] or 0)
    if count > 7 * 24 * 60:
        raise InputError(
            field, speech.say("{length} is longer than a week", length=minutes(speech, count))
        )
    return count


def _relative(speech: Speech, plain: str, today: date) -> date | None:
    digits = _NUMBERS.findall(plain)
    distance = int(digits[0]) if len(digits) == 1 and len(digits[0]) <= 5 else 1
    for offset in (0, distance, -distance):
        try:
            day = today + timedelta(days=offset)
        except OverflowError:
            continue
        if plain == _plain(relative_day(speech, day, today)):
            return day
    return None


def _numeric(speech: Speech, field: str, plain: str, today: date) -> date | None:
    """Read two or three numbers in the locale's order, parted by anything but letters."""
    numbers = _NUMBERS.findall(plain)
    if any(char.isalpha() for char in plain) or len(numbers) not in {2, 3}:
        return None
    if re.sub(r"[0-9./\- ]", "", plain):
        return None
    pattern = re.sub("'[^']*'", "", speech.formats.datetime_skeletons["yMd"].pattern)
    order = sorted("yMd", key=pattern.index)
    if len(numbers) == 2:
        order.remove("y")
    parts = dict(zip(order, numbers, strict=True))
    month, day = int(parts["M"]), int(parts["d"])
    if "y" not in parts:
        return _nearest(month, day, today)
    if len(parts["y"]) != 4:
        raise InputError(
            field, speech.say("“{text}”: write the year with four digits", text=plain[:60])
        )
    return _real(speech, field, int(parts["y"]), month, day)


def _written(speech: Speech, plain: str, today: date) -> date | None:
    """Find the date whose written form is `plain`, among those that its numbers allow."""
    for candidate in _candidates([int(n) for n in _NUMBERS.findall(plain) if len(n) <= 4], today):
        forms = (
            medium_date(speech, candidate),
            long_date(speech, candidate),
            by_skeleton(candidate, "yMMMEd", speech.words),
            by_skeleton(candidate, "yMMMMd", speech.words),
            day_and_month(speech, candidate),
            weekday_date(speech, candidate),
        )
        if plain in {_plain(form) for form in forms}:
            return candidate
    return None


def _candidates(numbers: list[int], today: date) -> Iterator[date]:
    years = [n for n in numbers if n >= 1000]
    days = [n for n in numbers if 1 <= n <= 31]
    for day in days:
        for month in range(1, 13):
            for year in years:
                if (real := _date_or_none(year, month, day)) is not None:
                    yield real
            if not years and (near := _nearest(month, day, today)) is not None:
                yield near


def _nearest(month: int, day: int, today: date) -> date | None:
    years = range(max(1, today.year - 1), min(9999, today.year + 1) + 1)
    real = [found for year in years if (found := _date_or_none(year, month, day)) is not None]
    return min(real, key=lambda found: abs((found - today).days), default=None)


def _real(speech: Speech, field: str, year: int, month: int, day: int) -> date:
    found = _date_or_none(year, month, day)
    if found is None:
        raise InputError(
            field,
            speech.say(
                "there is no day {day} in month {month} of {year}", day=day, month=month, year=year
            ),
        )
    return found


def _date_or_none(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except (ValueError, OverflowError):
        return None


def _plain(text: str) -> str:
    return normalised(text).casefold().replace(",", "").strip(" .")


def _half_of_day(speech: Speech, plain: str) -> tuple[str | None, str]:
    """Return "am" or "pm" where the text names a half of the day, and the text without it."""
    names = speech.formats.day_periods["format"]["abbreviated"]
    for half in ("am", "pm"):
        for name in (normalised(names[half]).casefold(), f"{half[0]}.m.", half):
            if name and name in plain:
                return half, plain.replace(name, "", 1).strip()
    return None, plain
