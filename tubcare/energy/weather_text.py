"""Reads weather that a person imports: hourly or daily, from the text of a table."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tubcare.energy.row_spacing import Resolution, gaps_between, looks_typical, resolution_of
from tubcare.energy.table_text import Table, read_table
from tubcare.energy.weather_columns import (
    Columns,
    DateOrder,
    Quantity,
    Question,
    Unit,
    find_columns,
)
from tubcare.energy.weather_stamps import Stamp, read_stamps
from tubcare.energy.weather_table import BadRow, WeatherTable
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

    Rows keep the file's own clock and come in order of time. As in `read_stamps`, an hour written
    24:00 stays on its date.

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
    Own method.
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
    told = read_stamps(table, columns)
    if not told.found:
        raise InputError("weather", "no row has a time that can be read")
    stamps = _in_order(told.found)
    starts = tuple(stamp.at for stamp in stamps)
    resolution = resolution_of(starts)
    readings = {
        quantity: tuple(_values(table, columns, quantity, stamps, resolution))
        for quantity in _READINGS
        if quantity in columns.by_quantity
    }
    known = _known(readings, resolution)
    read = [start for start, full in zip(starts, known, strict=True) if full]
    gaps, _ = gaps_between(tuple(read), resolution)
    _, repeated = gaps_between(starts, resolution)
    return WeatherTable(
        resolution=resolution,
        starts=starts,
        readings=readings,
        columns=columns,
        bad_rows=tuple(_bad_row(table, number) for number in told.unreadable),
        gaps=gaps,
        repeated=repeated,
        clock=told.clock,
    )


def _bad_row(table: Table, number: int) -> BadRow:
    reason = f"“{' '.join(table.rows[number])[:40]}” has no time that can be read"
    return BadRow(line=table.first_line + number, reason=reason)


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
    kept = dict(found.by_quantity)
    wind = sun = None
    if Quantity.WIND in kept:
        wind = answers.wind_unit or wind_unit(table, kept[Quantity.WIND])
    if Quantity.SUN in kept:
        sun = answers.sun_unit or sun_unit(table, kept[Quantity.SUN])
    units = {Quantity.WIND: wind, Quantity.SUN: sun}
    unclear = [kept.pop(q) for q, unit in units.items() if q in kept and unit is None]
    unwanted = {WindUnit.LEAVE_OUT, SunUnit.LEAVE_OUT}
    left_out = [kept.pop(q) for q, unit in units.items() if q in kept and unit in unwanted]
    return Columns(
        by_quantity=kept,
        unit=answers.unit or found.unit,
        date_order=answers.date_order or found.date_order,
        wind_unit=wind,
        sun_unit=sun,
        unclear=tuple(unclear),
        left_out=tuple(left_out),
    )


def _in_order(stamps: tuple[Stamp, ...]) -> tuple[Stamp, ...]:
    """Return the stamps in order of time; those of a typical year as the file has them."""
    if looks_typical(tuple(stamp.at for stamp in stamps)):
        return stamps
    return tuple(sorted(stamps, key=lambda stamp: stamp.at))


def _values(
    table: Table,
    columns: Columns,
    quantity: Quantity,
    stamps: tuple[Stamp, ...],
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


def _known(readings: dict[Quantity, tuple[float, ...]], resolution: Resolution) -> list[bool]:
    """Say for each row whether it has the temperature that is needed: a cell may be empty."""
    extremes = [q for q in (Quantity.LOWEST, Quantity.HIGHEST) if q in readings]
    hourly = resolution is Resolution.HOURLY and Quantity.AIR in readings
    needed = [Quantity.AIR] if hourly or not extremes else extremes
    columns = [readings[quantity] for quantity in needed]
    return [not any(map(math.isnan, row)) for row in zip(*columns, strict=True)]
