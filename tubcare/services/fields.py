"""Checks of what people type, where it comes in."""

from __future__ import annotations

import math
from datetime import date

from tubcare.errors import InputError, OutOfRangeError

MAX_NAME = 100
MAX_TITLE = 200
MAX_NOTE = 10_000
FIRST_DAY = date(1990, 1, 1)
LAST_DAY = date(2199, 12, 31)


def required_name(field: str, text: str, *, longest: int = MAX_NAME) -> str:
    """Return a trimmed name; raise `InputError` when it is empty or too long."""
    name = plain(text).strip()
    if not name:
        raise InputError(field, "write a name")
    if len(name) > longest:
        raise InputError(field, f"use at most {longest} characters; this has {len(name)}")
    return name


def note_text(text: str) -> str:
    """Return a note as plain text; raise `InputError` when it is too long."""
    note = plain(text)
    if len(note) > MAX_NOTE:
        raise InputError("note", f"use at most {MAX_NOTE} characters; this has {len(note)}")
    return note


def plain(text: str) -> str:
    """Return the text without control characters that a database or a screen would choke on."""
    return "".join(c for c in text if c in "\n\t" or (c.isprintable() or c == " "))


def day(field: str, value: date) -> date:
    """Return the date; raise `InputError` when it lies outside 1990 to 2199."""
    if not FIRST_DAY <= value <= LAST_DAY:
        raise InputError(field, f"{value} lies outside {FIRST_DAY:%Y} to {LAST_DAY:%Y}")
    return value


def not_after(field: str, value: date, today: date) -> date:
    """Return the date of something that happened; raise `InputError` when it is yet to come."""
    if day(field, value) > today:
        raise InputError(field, f"{value} is yet to come; write today's date or an earlier one")
    return value


def quantity(name: str, value: float, low: float, high: float) -> float:
    """Return a finite number within its range; raise `OutOfRangeError` otherwise."""
    if not math.isfinite(value) or not low <= value <= high:
        raise OutOfRangeError(name, value, low, high)
    return value
