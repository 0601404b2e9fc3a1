"""Reading the text of a recurrence rule (RFC 5545, section 3.3.10) for whole dates.

Every rule part that means something for dates is taken: FREQ from DAILY to YEARLY, INTERVAL,
COUNT or UNTIL (a local date, inclusive), BYMONTH, BYWEEKNO, BYYEARDAY, BYMONTHDAY, BYDAY,
BYSETPOS and WKST. The combinations that the RFC forbids are refused, as is anything below a day.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from tubcare.errors import InputError

_WEEKDAYS = {"MO": 0, "TU": 1, "WE": 2, "TH": 3, "FR": 4, "SA": 5, "SU": 6}
_BY_DAY = re.compile(r"([+-]?[0-9]{1,2})?(MO|TU|WE|TH|FR|SA|SU)")
_WHOLE = re.compile(r"[+-]?[0-9]{1,5}")
_DATE = re.compile(r"[0-9]{8}")
_LONGEST_RULE = 1_000
_SUB_DAILY = {"HOURLY", "MINUTELY", "SECONDLY"}
_SUB_DAILY_PARTS = {"BYHOUR", "BYMINUTE", "BYSECOND"}
#: A hundred years of each: nobody looks further ahead.
_MOST = {"DAILY": 36_525, "WEEKLY": 5_217, "MONTHLY": 1_200, "YEARLY": 100}
#: A hundred years of days.
_WRITE_DATE = "write the last date itself as YYYYMMDD"
_LARGEST_COUNT = 36_525


class Frequency(StrEnum):
    """The period that a rule repeats by."""

    DAILY = "DAILY"
    WEEKLY = "WEEKLY"
    MONTHLY = "MONTHLY"
    YEARLY = "YEARLY"


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleParts:
    """The parts of a rule; empty tuples and None stand for parts that were not written.

    `by_day` pairs a weekday (Monday 0) with its number in the month or year, 0 for every one.
    """

    frequency: Frequency
    interval: int = 1
    count: int | None = None
    until: date | None = None
    by_month: tuple[int, ...] = ()
    by_week_no: tuple[int, ...] = ()
    by_year_day: tuple[int, ...] = ()
    by_month_day: tuple[int, ...] = ()
    by_day: tuple[tuple[int, int], ...] = ()
    by_set_pos: tuple[int, ...] = ()
    week_start: int = 0


def parse_rule(text: str) -> RuleParts:
    """Return the parts of the rule in `text`, such as ``FREQ=MONTHLY;BYDAY=1SA``.

    Raises
    ------
    InputError
        With the name of the part that cannot be used as its field.
    """
    values = _split(text)
    parts = RuleParts(
        frequency=_frequency(values),
        interval=_interval(values),
        count=_count(values),
        until=_until(values),
        by_month=_numbers(values, "BYMONTH", 12, signed=False),
        by_week_no=_numbers(values, "BYWEEKNO", 53),
        by_year_day=_numbers(values, "BYYEARDAY", 366),
        by_month_day=_numbers(values, "BYMONTHDAY", 31),
        by_day=_by_day(values),
        by_set_pos=_numbers(values, "BYSETPOS", 366),
        week_start=_week_start(values),
    )
    _check_combination(parts)
    return parts


def _split(text: str) -> dict[str, str]:
    if len(text) > _LONGEST_RULE:
        raise InputError("RRULE", f"is longer than {_LONGEST_RULE} characters")
    values: dict[str, str] = {}
    for piece in text.upper().removeprefix("RRULE:").split(";"):
        name, equals, value = piece.partition("=")
        if not equals or not value:
            raise InputError(
                name or "RRULE", "write each part as NAME=VALUE, parted by semicolons"
            )
        if name in _SUB_DAILY_PARTS:
            raise InputError(name, "a task falls on whole days; leave the time of day out")
        if name not in _KNOWN:
            raise InputError(name, "is not a part of a rule over dates")
        if name in values:
            raise InputError(name, "is written twice")
        values[name] = value
    return values


def _frequency(values: dict[str, str]) -> Frequency:
    name = values.get("FREQ", "")
    if name in _SUB_DAILY:
        raise InputError("FREQ", f"a task falls on whole days; {name} is not possible")
    try:
        return Frequency(name)
    except ValueError:
        raise InputError("FREQ", f"write one of {', '.join(Frequency)}") from None


def _interval(values: dict[str, str]) -> int:
    if "INTERVAL" not in values:
        return 1
    return _whole("INTERVAL", values["INTERVAL"], 1, _MOST[values["FREQ"]])


def _count(values: dict[str, str]) -> int | None:
    if "COUNT" not in values:
        return None
    if "UNTIL" in values:
        raise InputError("COUNT", "cannot stand beside UNTIL")
    text = values["COUNT"]
    if not text.isascii() or not text.isdigit() or not 1 <= int(text[:7]) <= _LARGEST_COUNT:
        raise InputError("COUNT", f"write a whole number from 1 to {_LARGEST_COUNT}")
    return int(text)


def _until(values: dict[str, str]) -> date | None:
    if "UNTIL" not in values:
        return None
    text = values["UNTIL"]
    if not _DATE.fullmatch(text):
        raise InputError("UNTIL", _WRITE_DATE)
    try:
        return date(int(text[:4]), int(text[4:6]), int(text[6:]))
    except ValueError as error:
        raise InputError("UNTIL", _WRITE_DATE) from error


def _whole(name: str, text: str, low: int, high: int) -> int:
    if _WHOLE.fullmatch(text) and low <= int(text) <= high:
        return int(text)
    raise InputError(name, f"write whole numbers from {low} to {high}, not {text}")


def _numbers(
    values: dict[str, str], name: str, high: int, *, signed: bool = True
) -> tuple[int, ...]:
    if name not in values:
        return ()
    low = -high if signed else 1
    found = {_whole(name, text, low, high) for text in values[name].split(",")}
    if 0 in found:
        raise InputError(name, "0 names no date; count from 1, or from -1 backwards")
    return tuple(sorted(found))


def _by_day(values: dict[str, str]) -> tuple[tuple[int, int], ...]:
    if "BYDAY" not in values:
        return ()
    found = set()
    for text in values["BYDAY"].split(","):
        match = _BY_DAY.fullmatch(text)
        if match is None:
            raise InputError("BYDAY", f"write days such as MO, 2SA or -1FR, not {text}")
        number = int(match[1]) if match[1] else 0
        if match[1] and not 1 <= abs(number) <= 53:
            raise InputError("BYDAY", f"{text} has a number outside 1 to 53")
        found.add((_WEEKDAYS[match[2]], number))
    return tuple(sorted(found))


def _week_start(values: dict[str, str]) -> int:
    name = values.get("WKST", "MO")
    if name not in _WEEKDAYS:
        raise InputError("WKST", f"write one of {', '.join(_WEEKDAYS)}")
    return _WEEKDAYS[name]


def _check_combination(parts: RuleParts) -> None:
    """Refuse what RFC 5545 section 3.3.10 says must not be written together."""
    frequency = parts.frequency
    yearly = frequency is Frequency.YEARLY
    numbered = any(number for _, number in parts.by_day)
    if parts.by_week_no and not yearly:
        raise InputError("BYWEEKNO", "goes with FREQ=YEARLY only")
    if parts.by_year_day and not yearly:
        raise InputError("BYYEARDAY", "goes with FREQ=YEARLY only")
    if parts.by_month_day and frequency is Frequency.WEEKLY:
        raise InputError("BYMONTHDAY", "does not go with FREQ=WEEKLY")
    if numbered and frequency in {Frequency.DAILY, Frequency.WEEKLY}:
        raise InputError("BYDAY", "numbered days go with FREQ=MONTHLY and FREQ=YEARLY only")
    if numbered and parts.by_week_no:
        raise InputError("BYDAY", "numbered days do not go with BYWEEKNO")
    other = (parts.by_month, parts.by_week_no, parts.by_year_day, parts.by_month_day, parts.by_day)
    if parts.by_set_pos and not any(other):
        raise InputError("BYSETPOS", "needs another BY part to choose from")


_KNOWN = frozenset(
    {
        "FREQ",
        "INTERVAL",
        "COUNT",
        "UNTIL",
        "BYMONTH",
        "BYWEEKNO",
        "BYYEARDAY",
        "BYMONTHDAY",
        "BYDAY",
        "BYSETPOS",
        "WKST",
    }
)
