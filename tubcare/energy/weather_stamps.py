"""Reads when the rows of a weather table were measured, on the file's own clock."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta, timezone
from typing import TYPE_CHECKING

from tubcare.energy.clock_text import HALF_OF_DAY, OFFSET, on_24_hours, written_offset
from tubcare.energy.weather_columns import Columns, DateOrder, Quantity

if TYPE_CHECKING:
    from tubcare.energy.table_text import Table

_CLOCK = re.compile(rf"\s*(\d{{1,2}}):(\d{{2}})(?::\d{{2}}(?:\.\d+)?)?{HALF_OF_DAY}{OFFSET}")
_DATE = re.compile(r"\s*(\d{1,4})[-/.](\d{1,2})[-/.](\d{1,4})(?:[T ]+(?=\d))?")
_PLAIN_STAMP = re.compile(r"\s*(\d{4})(\d{2})(\d{2})(?:[T ]?(\d{2}):?(\d{2})?)?")
_FIRST_YEAR, _LAST_YEAR = 1700, 2200
_HOUR = timedelta(hours=1)
_MOST_OFFSETS = 2
_ON_A_CLOCK = (Quantity.STAMP, Quantity.TIME, Quantity.HOUR)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """When a row was measured, on the file's clock, and the number of the row."""

    row: int
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamps:
    """All stamps in the order of the rows, and the rows without one.

    `clock` is the fixed offset that all stamps are on where the file tells it, else None.
    """

    found: tuple[Stamp, ...]
    unreadable: tuple[int, ...]
    clock: timezone | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Moment:
    """Date, hour 0..24 and minute as written, with its offset from UTC where it is told."""

    day: date
    hour: int = 0
    minute: int = 0
    offset: timedelta | None = None


def read_stamps(table: Table, columns: Columns) -> Stamps:
    """Return when the rows of `table` were measured.

    An hour written 24:00 shows that times mark the end of the hour: then each row is put at the
    start of its hour. Stamps with an offset from UTC are all put on the offset of the first.

    Raises nothing; a row whose time cannot be read is told in `unreadable`.

    Parameters
    ----------
    table
        As taken apart.
    columns
        Which of its columns tell the time, and the order of a date.

    References
    ----------
    ISO 8601 for offsets; hours that end at 24:00: NREL TMY3 and EnergyPlus EPW files.
    """
    where = {quantity: table.column(name) for quantity, name in columns.by_quantity.items()}
    order = columns.date_order or DateOrder.YEAR_FIRST
    moments: dict[int, _Moment] = {}
    unreadable = []
    for number, row in enumerate(table.rows):
        try:
            moments[number] = _moment(row, where, order)
        except (ValueError, IndexError, OverflowError):
            unreadable.append(number)
    ends = {(each.hour, each.minute) for each in moments.values()}
    back = _HOUR if any(hour == 24 for hour, _ in ends) and (0, 0) not in ends else timedelta()
    told = [each.offset for each in moments.values() if each.offset is not None]
    # A place has two offsets; more are the ends of spans, such as 07:00-08:00.
    clock = timezone(told[0]) if 1 <= len(set(told)) <= _MOST_OFFSETS else _named_clock(columns)
    return Stamps(
        found=tuple(
            Stamp(row=number, at=_on_clock(each, clock) - back) for number, each in moments.items()
        ),
        unreadable=tuple(unreadable),
        clock=clock,
    )


def _named_clock(columns: Columns) -> timezone | None:
    """Return UTC where the name of a column says so, such as “Time [UTC]”."""
    names = [columns.by_quantity.get(each, "") for each in _ON_A_CLOCK]
    return UTC if any(re.search(r"(?i)\b(utc|gmt)\b", name) for name in names) else None


def _on_clock(moment: _Moment, clock: timezone | None) -> datetime:
    at = datetime.combine(moment.day, time()) + timedelta(hours=moment.hour, minutes=moment.minute)
    if clock is None or moment.offset is None:
        return at
    return (at - moment.offset).replace(tzinfo=UTC).astimezone(clock).replace(tzinfo=None)


def _moment(row: tuple[str, ...], where: dict[Quantity, int], order: DateOrder) -> _Moment:
    """Return the moment of a row; ValueError and its like when it has none."""
    if Quantity.STAMP in where:
        moment = _written(row[where[Quantity.STAMP]], order)
    else:
        year = int(row[where[Quantity.YEAR]]) if Quantity.YEAR in where else 2001
        day = date(year, int(row[where[Quantity.MONTH]]), int(row[where[Quantity.DAY]]))
        moment = _Moment(day=day)
    if Quantity.TIME in where:
        moment = _with_clock(moment, row[where[Quantity.TIME]])
    if Quantity.HOUR in where:
        moment = replace(moment, hour=int(float(row[where[Quantity.HOUR]])))
    if not _FIRST_YEAR <= moment.day.year <= _LAST_YEAR:
        raise ValueError(f"{moment.day.year} is no year of weather readings")
    if not 0 <= moment.hour <= 24 or not 0 <= moment.minute <= 59:
        raise ValueError(f"{moment.hour}:{moment.minute:02} is no time of day")
    return moment


def _written(text: str, order: DateOrder) -> _Moment:
    found = _DATE.match(text)
    if found is None:
        plain = _PLAIN_STAMP.match(text)
        if plain is None:
            raise ValueError(f"“{text}” is no date")
        year, month, day, hour, minute = (int(part or 0) for part in plain.groups())
        return _Moment(day=date(year, month, day), hour=hour, minute=minute)
    first, second, third = (int(part) for part in found.groups())
    if len(found[1]) == 4:
        day_on = date(first, second, third)
    elif order is DateOrder.DAY_FIRST:
        day_on = date(third, second, first)
    else:
        day_on = date(third, first, second)
    return _with_clock(_Moment(day=day_on), text[found.end() :])


def _with_clock(moment: _Moment, text: str) -> _Moment:
    """Return the moment with the time of day in `text`, as it is where that holds none."""
    found = _CLOCK.match(text)
    if found is None:
        return moment
    hour, half = int(found[1]), found[3]
    if half and not 1 <= hour <= 12:
        raise ValueError(f"{hour} is no hour of a twelve-hour clock")
    offset = moment.offset
    if found[4]:
        offset = timedelta()
    elif found[5]:
        # Where none can be, it is the end of a span, such as 23:00-24:00, or a slip.
        offset = written_offset(found[5], found[6])
    return replace(moment, hour=on_24_hours(hour, half), minute=int(found[2]), offset=offset)
