"""Reads the beginnings of the hours in a file of prices, whichever way it writes them."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone
from typing import TYPE_CHECKING

from tubcare.energy.clock_text import HALF_OF_DAY, OFFSET, on_24_hours, written_offset
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence

_STAMP = re.compile(
    r"\s*(\d{1,4})[-/.](\d{1,2})[-/.](\d{1,4})"
    r"(?:[T ]+(\d{1,2})(?::(\d{2}))?(?::\d{2}(?:\.\d+)?)?)?"
    rf"{HALF_OF_DAY}{OFFSET}"
)
_LAST_DAY, _MOST_HOUR = 31, 24
# No exchange told hourly prices before, and the calendar of the computer ends later.
_FIRST_YEAR, _LAST_YEAR = 1950, 2999
_HOUR = timedelta(hours=1)


def read_price_stamps(texts: Sequence[str]) -> tuple[datetime | None, ...]:
    """Return the instant or local time in each text, None where there is none.

    In 06/05/2026 either figure may be the day: the order under which all dates can be and lie
    closer together holds. Hours counted from 1 to 24 are taken for the ends of the hours.

    Parameters
    ----------
    texts
        As exported, in the order of the file.

    Raises
    ------
    InputError
        If both orders would do, as in a file of one day.

    References
    ----------
    Own method; ISO 8601 for offsets.
    """
    day_first, month_first = (_read(texts, month_first=first) for first in (False, True))
    if day_first == month_first:
        return day_first
    ranks = _rank(day_first), _rank(month_first)
    if ranks[0] == ranks[1]:
        raise InputError(
            "prices",
            "the file does not tell day from month; choose one with the year first, or of more"
            " days",
        )
    return day_first if ranks[0] < ranks[1] else month_first


def _read(texts: Sequence[str], *, month_first: bool) -> tuple[datetime | None, ...]:
    found = [_STAMP.match(text.strip().strip('"')) for text in texts]
    hours = {int(each[4] or 0) for each in found if each is not None}
    back = _HOUR if 24 in hours and 0 not in hours else timedelta()
    return tuple(
        None if each is None else _stamp(each, back, month_first=month_first) for each in found
    )


def _rank(stamps: Sequence[datetime | None]) -> tuple[int, timedelta]:
    """Return how many cannot be read, and over how long a time the others spread."""
    days = [at.date() for at in stamps if at is not None]
    spread = max(days) - min(days) if days else timedelta.max
    return len(stamps) - len(days), spread


def _stamp(found: re.Match[str], back: timedelta, *, month_first: bool) -> datetime | None:
    first, second, third = (int(part) for part in found.group(1, 2, 3))
    if first > _LAST_DAY:
        year, month, day = first, second, third
    else:
        year, month, day = third, *((first, second) if month_first else (second, first))
    hour = on_24_hours(int(found[4] or 0), found[6])
    if hour > _MOST_HOUR or not _FIRST_YEAR <= year <= _LAST_YEAR:
        return None
    try:
        local = datetime(year, month, day, minute=int(found[5] or 0))  # noqa: DTZ001  no zone yet
    except ValueError:
        return None
    local += timedelta(hours=hour) - back
    if found[7]:
        return local.replace(tzinfo=UTC)
    if not found[8]:
        return local
    offset = written_offset(found[8], found[9])
    # Without an offset that can be, the row is damaged.
    return None if offset is None else local.replace(tzinfo=timezone(offset))
