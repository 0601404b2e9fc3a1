"""Numbers and days typed on the command line, read so that nothing odd gets further."""

from __future__ import annotations

import argparse
import os
from datetime import date, time
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.values import MonthDay
from tubcare.words.locale import speech_for
from tubcare.words.numbers import parse_number

if TYPE_CHECKING:
    from decimal import Decimal

    from tubcare.words.locale import Speech

# More than any meter, volume or amount of a tub; a sum of such still fits the database.
_MOST = 10**12
_MOST_MONTHS = 120
# The years in which the records of a tub can lie, as the services check them.
_FIRST_YEAR, _LAST_YEAR = 1990, 2199


def day(text: str) -> date:
    """Return the date written as 2027-04-15."""
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(
            f"“{text}” is not a date; write it like 2027-04-15"
        ) from error


def clock(text: str) -> time:
    """Return the time of day written as 18:30."""
    try:
        return time.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(
            f"“{text}” is not a time of day; write it like 18:30"
        ) from error


def month_day(text: str) -> MonthDay:
    """Return the day of the year written as 05-01."""
    found = day(f"2000-{text}")
    return MonthDay(month=found.month, day=found.day)


def today(text: str) -> date:
    """Return the day to look from, from 1990 to 2199: a year of dates around it must exist."""
    found = day(text)
    if not _FIRST_YEAR <= found.year <= _LAST_YEAR:
        raise argparse.ArgumentTypeError(f"{text} lies outside {_FIRST_YEAR} to {_LAST_YEAR}")
    return found


def finite(text: str) -> float:
    """Return a number written by the person's locale; what could mean two things is refused."""
    try:
        return float(parse_number(speech_for(os.environ), "number", text))
    except InputError as error:
        raise argparse.ArgumentTypeError(error.reason) from error


def months(text: str) -> int:
    """Return how many months to look ahead, 1 to 120."""
    if not (text.isdecimal() and 1 <= int(text[:9]) <= _MOST_MONTHS):
        raise argparse.ArgumentTypeError(f"“{text}” is not a number from 1 to {_MOST_MONTHS}")
    return int(text)


def exact(speech: Speech, field: str, text: str) -> Decimal:
    """Return the number as it was written; raises `InputError` for what is none."""
    found = parse_number(speech, field, text)
    if abs(found) > _MOST:
        raise InputError(field, f"“{text}” is not a number that can be kept")
    return found


def named_number(speech: Speech, field: str, text: str) -> tuple[str, float]:
    """Return name and number written as ``ph=7.4``; raises `InputError` for anything else."""
    name, equals, value = text.partition("=")
    if not equals:
        raise InputError(field, f"“{text}” has no value; write it like ph=7.4")
    return name.strip().casefold(), float(exact(speech, name, value))
