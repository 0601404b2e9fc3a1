"""Reads weather that a person imports: hourly or daily, from the text of a table."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING

from tubcare.energy.table_text import Table, read_table
from tubcare.energy.weather_columns import (
    Columns,
    DateOrder,
    Quantity,
    Question,
    Unit,
    find_columns,
)
from tubcare.energy.weather_units import (
    SunUnit,
    WindUnit,
    sun_factor,
    sun_unit,
    wind_factor,
    wind_unit,
)
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Iterator

_ISO_STAMP = re.compile(
    r"\s*(\d{1,4})[-/.](\d{1,2})[-/.](\d{1,4})(?:[T ]+(\d{1,2}):(\d{2})(?::\d{2}(?:\.\d+)?)?)?"
)
_PLAIN_STAMP = re.compile(r"\s*(\d{4})(\d{2})(\d{2})(?:[T ]?(\d{2}):?(\d{2})?)?")
_CLOCK = re.compile(r"\s*(\d{1,2}):(\d{2})")
_HOUR = timedelta(hours=1)
_FIRST_YEAR, _LAST_YEAR = 1700, 2200
_TEMPERATURES = (Quantity.AIR, Quantity.LOWEST, Quantity.HIGHEST)
_READINGS = (*_TEMPERATURES, Quantity.SUN, Quantity.WIND, Quantity.HUMIDITY)
# Values that stand for "no reading" in wide-spread files, and what is possible at all.
_POSSIBLE = {
    Quantity.AIR: (-90.0, 60.0),
    Quantity.LOWEST: (-90.0, 60.0),
    Quantity.HIGHEST: (-90.0, 60.0),
    Quantity.SUN: (0.0, 1500.0),
    Quantity.WIND: (0.0, 120.0),
    Quantity.HUMIDITY: (0.0, 1.1),
}
# A humidity over this is told in per cent, all others as a share. [-]
_MOST_SHARE = 1.5


class Resolution(StrEnum):
    """How far apart the rows are."""

    HOURLY = "hourly"
    DAILY = "daily"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What a person says about a file; None leaves it to what was found.

    `names_line` is the line of the column names, counted from 1, 0 for none.
    """

    columns: dict[Quantity, str] | None = None
    unit: Unit | None = None
    date_order: DateOrder | None = None
    wind_unit: WindUnit | None = None
    sun_unit: SunUnit | None = None
    names_line: int | None = None
    first_row: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BadRow:
    """A row that was left out: its line in the file and why."""

    line: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeGap:
    """Rows that are missing or without their temperature: the first one's time and how many."""

    first: datetime
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherTable:
    """Weather as read: start of each hour or day on the file's clock, and the readings.

    Temperatures in [°C], sun in [W m⁻²], wind in [m s⁻¹], humidity 0..1; NaN without a reading.
    """

    resolution: Resolution
    starts: tuple[datetime, ...]
    readings: dict[Quantity, tuple[float, ...]]
    columns: Columns
    bad_rows: tuple[BadRow, ...]
    gaps: tuple[TimeGap, ...]
    repeated: int

    def daily_minima(self) -> tuple[tuple[date, float], ...]:
        """Return date and lowest temperature [°C] of each day that has one."""
        return tuple(_lowest(self))

    def looks_typical(self) -> bool:
        """Say whether it looks like a typical year: one year long, put together from several."""
        steps_back = sum(b < a for a, b in pairwise(self.starts))
        years = {start.year for start in self.starts}
        days = len({(start.month, start.day) for start in self.starts})
        one_long = len(self.starts) in {365, 366, 8760, 8784} and days >= 365
        return one_long and (len(years) > 1 or steps_back > 0)


def ask_about(text: str, answers: Answers | None = None) -> tuple[Question, ...]:
    """Return what has to be answered before `read_weather` can read `text`.

    Parameters
    ----------
    text
        As exported.
    answers
        What a person said about it so far.

    Raises
    ------
    InputError
        If no table can be made out.

    References
    ----------
    As `find_columns`.
    """
    answers = answers or Answers()
    return _columns(read_table(text, names_line=answers.names_line), answers).questions()


def read_weather(text: str, answers: Answers | None = None) -> WeatherTable:
    """Return the weather in `text`.

    An hour written 24:00 shows that times mark the end of the hour: then each row is put at the
    start of its hour, and the last one stays on its date. Rows keep the file's own clock.

    Parameters
    ----------
    text
        As exported.
    answers
        What a person said about it. Temperatures are told in [°C] or [°F].

    Raises
    ------
    InputError
        If something has to be asked first, or no row can be read.

    References
    ----------
    Own method; hours that end at 24:00: NREL TMY3 and EnergyPlus EPW files.
    """
    answers = answers or Answers()
    table = read_table(text, names_line=answers.names_line)
    if answers.first_row:
        table = replace(
            table,
            rows=table.rows[answers.first_row :],
            first_line=table.first_line + answers.first_row,
        )
    columns = _columns(table, answers)
    asked = columns.questions()
    if asked:
        raise InputError("weather", f"cannot be read before this is told: {', '.join(asked)}")
    stamps, bad = _stamps(table, columns)
    if not stamps:
        raise InputError("weather", "no row has a time that can be read")
    if any(stamp.hour_24 for stamp in stamps) and not any(stamp.midnight for stamp in stamps):
        stamps = [replace(stamp, at=stamp.at - _HOUR) for stamp in stamps]
    starts = tuple(stamp.at for stamp in stamps)
    resolution = _resolution(starts)
    readings = {
        quantity: tuple(_values(table, columns, quantity, stamps, resolution))
        for quantity in _READINGS
        if quantity in columns.by_quantity
    }
    known = _known(readings, resolution)
    read = [start for start, told in zip(starts, known, strict=True) if told]
    gaps, _ = _gaps(tuple(read), resolution)
    _, repeated = _gaps(starts, resolution)
    return WeatherTable(
        resolution=resolution,
        starts=starts,
        readings=readings,
        columns=columns,
        bad_rows=tuple(bad),
        gaps=gaps,
        repeated=repeated,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stamp:
    row: int
    at: datetime
    hour_24: bool
    midnight: bool


def _columns(table: Table, answers: Answers) -> Columns:
    found = find_columns(table)
    by_quantity = found.by_quantity
    if answers.columns is not None:
        for name in answers.columns.values():
            table.column(name)
        told = set(answers.columns.values())
        kept = {q: name for q, name in by_quantity.items() if name not in told}
        by_quantity = kept | answers.columns
    return _with_units(table, replace(found, by_quantity=by_quantity), answers)


def _with_units(table: Table, found: Columns, answers: Answers) -> Columns:
    """Return the columns with the units of wind and sun; where one is not clear, without it."""
    kept, left_out = dict(found.by_quantity), []
    wind = sun = None
    if Quantity.WIND in kept:
        wind = answers.wind_unit or wind_unit(table, kept[Quantity.WIND])
        if wind in {None, WindUnit.LEAVE_OUT}:
            left_out.append(kept.pop(Quantity.WIND))
    if Quantity.SUN in kept:
        sun = answers.sun_unit or sun_unit(table, kept[Quantity.SUN])
        if sun in {None, SunUnit.LEAVE_OUT}:
            left_out.append(kept.pop(Quantity.SUN))
    return Columns(
        by_quantity=kept,
        unit=answers.unit or found.unit,
        date_order=answers.date_order or found.date_order,
        wind_unit=wind,
        sun_unit=sun,
        left_out=tuple(left_out),
    )


def _stamps(table: Table, columns: Columns) -> tuple[list[_Stamp], list[BadRow]]:
    stamps, bad = [], []
    where = {quantity: table.column(name) for quantity, name in columns.by_quantity.items()}
    for number, row in enumerate(table.rows):
        try:
            day, hour, minute = _moment(row, where, columns.date_order or DateOrder.YEAR_FIRST)
            at = datetime.combine(day, datetime.min.time()) + timedelta(hours=hour, minutes=minute)
        except (ValueError, IndexError, OverflowError):
            reason = f"“{' '.join(row)[:40]}” has no time that can be read"
            bad.append(BadRow(line=table.first_line + number, reason=reason))
            continue
        midnight = (hour, minute) == (0, 0)
        stamps.append(_Stamp(row=number, at=at, hour_24=hour == 24, midnight=midnight))
    return stamps, bad


def _moment(
    row: tuple[str, ...], where: dict[Quantity, int], order: DateOrder
) -> tuple[date, int, int]:
    """Return date, hour 0..24 and minute of a row; ValueError and its like when it has none."""
    if Quantity.STAMP in where:
        day, hour, minute = _written(row[where[Quantity.STAMP]], order)
    else:
        year = int(row[where[Quantity.YEAR]]) if Quantity.YEAR in where else 2001
        day = date(year, int(row[where[Quantity.MONTH]]), int(row[where[Quantity.DAY]]))
        hour = minute = 0
    if Quantity.TIME in where and (clock := _CLOCK.match(row[where[Quantity.TIME]])):
        hour, minute = int(clock[1]), int(clock[2])
    if Quantity.HOUR in where:
        hour = int(float(row[where[Quantity.HOUR]]))
    if not _FIRST_YEAR <= day.year <= _LAST_YEAR:
        raise ValueError(f"{day.year} is no year of weather readings")
    if not 0 <= hour <= 24 or not 0 <= minute <= 59:
        raise ValueError(f"{hour}:{minute:02} is no time of day")
    return day, hour, minute


def _written(text: str, order: DateOrder) -> tuple[date, int, int]:
    found = _ISO_STAMP.match(text) or _PLAIN_STAMP.match(text)
    if found is None:
        raise ValueError(f"“{text}” is no date")
    first, second, third = int(found[1]), int(found[2]), int(found[3])
    if len(found[1]) == 4:
        day = date(first, second, third)
    elif order is DateOrder.DAY_FIRST:
        day = date(third, second, first)
    else:
        day = date(third, first, second)
    return day, int(found[4] or 0), int(found[5] or 0)


def _values(
    table: Table,
    columns: Columns,
    quantity: Quantity,
    stamps: list[_Stamp],
    resolution: Resolution,
) -> Iterator[float]:
    at = table.column(columns.by_quantity[quantity])
    low, high = _POSSIBLE[quantity]
    rows = [table.rows[stamp.row] for stamp in stamps]
    figures = [table.number(row[at]) if at < len(row) else math.nan for row in rows]
    factor = _factor(columns, quantity, resolution)
    if quantity is Quantity.HUMIDITY and any(value > _MOST_SHARE for value in figures):
        factor = 0.01
    for figure in figures:
        value = figure
        if quantity in _TEMPERATURES and columns.unit is Unit.FAHRENHEIT:
            value = (value - 32.0) * 5.0 / 9.0
        value *= factor
        if not low <= value <= high:
            value = math.nan
        yield min(value, 1.0) if quantity is Quantity.HUMIDITY and value > 1.0 else value


def _factor(columns: Columns, quantity: Quantity, resolution: Resolution) -> float:
    """Return what turns a figure of the table into the unit of the readings."""
    if quantity is Quantity.WIND and columns.wind_unit is not None:
        return wind_factor(columns.wind_unit)
    if quantity is Quantity.SUN and columns.sun_unit is not None:
        return sun_factor(
            columns.sun_unit, row_s=3600.0 if resolution is Resolution.HOURLY else 86400.0
        )
    return 1.0


def _resolution(starts: tuple[datetime, ...]) -> Resolution:
    steps = [b - a for a, b in pairwise(starts)]
    hourly = sum(step == _HOUR for step in steps)
    if not steps or hourly * 2 < len(steps):
        daily = sum(step == 24 * _HOUR for step in steps)
        if steps and daily * 2 < len(steps):
            raise InputError("weather", "rows are neither an hour nor a day apart")
        return Resolution.DAILY
    return Resolution.HOURLY


def _known(readings: dict[Quantity, tuple[float, ...]], resolution: Resolution) -> list[bool]:
    """Say for each row whether it has the temperature that is needed: a cell may be empty."""
    extremes = [q for q in (Quantity.LOWEST, Quantity.HIGHEST) if q in readings]
    hourly = resolution is Resolution.HOURLY and Quantity.AIR in readings
    needed = [Quantity.AIR] if hourly or not extremes else extremes
    columns = [readings[quantity] for quantity in needed]
    return [not any(map(math.isnan, row)) for row in zip(*columns, strict=True)]


def _gaps(starts: tuple[datetime, ...], resolution: Resolution) -> tuple[tuple[TimeGap, ...], int]:
    step = _HOUR if resolution is Resolution.HOURLY else 24 * _HOUR
    found, repeated = [], 0
    for before, after in pairwise(starts):
        if after == before:
            repeated += 1
        elif after > before + step and not _only_year_changes(before + step, after):
            count = round((after - before) / step) - 1
            found.append(TimeGap(first=before + step, count=count))
    return tuple(found), repeated


def _only_year_changes(expected: datetime, found: datetime) -> bool:
    """Say whether a typical year goes on in another of the years it is put together from."""
    return (expected.month, expected.day, expected.hour) == (found.month, found.day, found.hour)


def _lowest(table: WeatherTable) -> Iterator[tuple[date, float]]:
    source = Quantity.LOWEST if Quantity.LOWEST in table.readings else Quantity.AIR
    by_day: dict[date, float] = {}
    for start, value in zip(table.starts, table.readings.get(source, ()), strict=False):
        if not math.isnan(value):
            day = start.date()
            by_day[day] = min(by_day[day], value) if day in by_day else value
    yield from by_day.items()
