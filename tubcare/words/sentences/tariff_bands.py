"""Times of day with a price of their own, as people write them: 22:00-06:00 0.12."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.energy.tariff_plan import Band
from tubcare.errors import InputError
from tubcare.words.numbers import parse_number, plain_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.words.locale import Speech

_BAND = re.compile(
    r"\s*(\d{1,2})[:.]?(\d{2})?\s*[-\u2013]\s*(\d{1,2})[:.]?(\d{2})?\s+(?:(\D+?)\s+)?([-\d.,]+)\s*$"
)
_DAY_WIDTH = "abbreviated"
_MINUTES_A_DAY = 1440
_WHOLE_WEEK = frozenset(range(7))


def example_bands(speech: Speech) -> str:
    """Return two bands as a person of this language would type them."""
    night = Band(from_minute=22 * 60, to_minute=6 * 60, price=Decimal("0.12"))
    evening = Band(
        from_minute=17 * 60,
        to_minute=20 * 60,
        price=Decimal("0.40"),
        weekdays=frozenset(range(5)),
    )
    return bands_text(speech, (night, evening))


def bands_text(speech: Speech, bands: Sequence[Band]) -> str:
    """Return bands as they would be typed."""
    return "; ".join(_text(speech, band) for band in bands)


def parse_bands(speech: Speech, field: str, text: str) -> tuple[Band, ...]:
    """Return the bands that a person typed, parted by semicolons.

    Raises
    ------
    InputError
        For a band that is not a time, perhaps weekdays, and a price.
    """
    return tuple(_band(speech, field, part) for part in text.split(";") if part.strip())


def _band(speech: Speech, field: str, part: str) -> Band:
    match = _BAND.match(part)
    if match is None:
        raise InputError(field, speech.say("write each time like 22:00-06:00 0.12"))
    start, end = (int(match[at]) * 60 + int(match[at + 1] or 0) for at in (1, 3))
    if not (0 <= start < _MINUTES_A_DAY and 0 <= end <= _MINUTES_A_DAY):
        raise InputError(field, speech.say("a day has 24 hours; write times from 0:00 to 24:00"))
    return Band(
        from_minute=start,
        to_minute=end,
        price=parse_number(speech, field, match[6]),
        weekdays=_WHOLE_WEEK if match[5] is None else _weekdays(speech, field, match[5]),
    )


def _weekdays(speech: Speech, field: str, text: str) -> frozenset[int]:
    found: set[int] = set()
    for part in re.split(r"[\s,]+", text.strip()):
        ends = [_weekday(speech, field, name) for name in re.split(r"[-\u2013]", part)]
        first, last = ends[0], ends[-1]
        found.update(day % 7 for day in range(first, last + 1 if last >= first else last + 8))
    return frozenset(found)


def _weekday(speech: Speech, field: str, name: str) -> int:
    wanted = name.casefold().rstrip(".")
    for number, known in _names(speech).items():
        if len(wanted) >= 2 and known.casefold().startswith(wanted):
            return number
    raise InputError(field, speech.say("“{name}” is no day of the week", name=name))


def _names(speech: Speech) -> dict[int, str]:
    return dict(speech.words.days["format"]["wide"])


def _text(speech: Speech, band: Band) -> str:
    times = "-".join(f"{m // 60:02}:{m % 60:02}" for m in (band.from_minute, band.to_minute))
    days = "" if band.weekdays == _WHOLE_WEEK else f" {_days_text(speech, band.weekdays)}"
    return f"{times}{days} {plain_number(speech, band.price)}"


def _days_text(speech: Speech, weekdays: frozenset[int]) -> str:
    names = speech.words.days["format"][_DAY_WIDTH]
    days = sorted(weekdays)
    if len(days) > 2 and days[-1] - days[0] == len(days) - 1:
        return f"{names[days[0]].rstrip('.')}-{names[days[-1]].rstrip('.')}"
    return " ".join(names[day].rstrip(".") for day in days)
