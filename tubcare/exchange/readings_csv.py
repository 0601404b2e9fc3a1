"""Readings as a table: written for spreadsheets, and read with columns that the person chooses."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING, Final
from zoneinfo import ZoneInfo

from tubcare.energy.table_text import read_table
from tubcare.errors import InputError
from tubcare.exchange.cells import plain_cell, safe_cell, table_text
from tubcare.services.measures import QUANTITY_BOUNDS
from tubcare.services.moments import NOON, local_instant
from tubcare.services.water_import import IncomingSample, LineFault
from tubcare.water.kit import DIMENSION_OF
from tubcare.water.strips import Band
from tubcare.water.units import Unit, to_inside, units_of
from tubcare.words.measures import measured_name

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from tubcare.energy.table_text import Table
    from tubcare.services.water_samples import Sample
    from tubcare.words.locale import Speech

WHEN: Final = "at"
CLOCK: Final = "time_of_day"
NOTE: Final = "note"
#: The ends of a strip's band, as they follow the name of its reading: `ph low`.
ENDS: Final = ("low", "high")
_UNIT = re.compile(r"[\[(]\s*([^\])]+?)\s*[\])]\s*$")
# Day first with dots, as in many languages; with slashes nobody knows which comes first.
_DOTTED = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})(?:,?\s+(\d{1,2}:\d{2}(?::\d{2})?))?")
_WHEN_NAMES: Final = frozenset({"at", "date", "day", "when", "datum", "tag", "päivä"})
_CLOCK_NAMES: Final = frozenset({"time", "time of day", "zeit", "uhrzeit", "aika", "kello"})
_NOTE_NAMES: Final = frozenset({NOTE, "notes", "remark", "notiz", "bemerkung", "huomautus"})


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnUse:
    """What a column holds: a reading by its name in the logbook, or `at`, `time_of_day`, `note`.

    None is nothing.
    An end of a strip's band is named after its reading, `ph low` and `ph high`.

    `unit` of the column; None for pH, and for what the logbook's own unit is meant.
    """

    column: str
    holds: str | None
    unit: Unit | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingsFile:
    """What a file holds by a mapping, and the lines that cannot be used."""

    uses: tuple[ColumnUse, ...]
    samples: tuple[IncomingSample, ...]
    faults: tuple[LineFault, ...] = field(default=())


def readings_csv(samples: Sequence[Sample], zone: str) -> str:
    """Return readings as a table: one line for each test, one column for each quantity.

    Instants are local with their offset; values in mg/L and °C with a point. A strip has the ends
    of its band in two columns of their own. Opens safely in a spreadsheet.
    """
    names = [n for n in QUANTITY_BOUNDS if any(n in sample.values for sample in samples)]
    banded = [n for n in names if any(_band(sample, n) for sample in samples)]
    ends = [f"{name} {end}" for name in banded for end in ENDS]
    rows: list[Sequence[object]] = [[WHEN, *names, *ends, NOTE]]
    for sample in samples:
        local = sample.at.astimezone(ZoneInfo(zone)).isoformat(timespec="microseconds")
        values = [_written(sample, name) for name in names]
        bands = [cell for name in banded for cell in _band_cells(sample, name)]
        rows.append([local, *values, *bands, safe_cell(sample.note)])
    return table_text(rows)


def offered_uses(text: str, speech: Speech) -> tuple[ColumnUse, ...]:
    """Return what each column of a file seems to hold, for the person to confirm or change.

    Raises
    ------
    InputError
        When no table can be made out.
    """
    known = _known_names(speech)
    found = []
    for column in read_table(text).names:
        unit = _unit_of(column)
        bare = _UNIT.sub("", column).strip().casefold()
        holds = known.get(bare)
        if holds is not None and not _fits(holds, unit):
            unit = None
        found.append(ColumnUse(column=column, holds=holds, unit=unit))
    if WHEN not in {use.holds for use in found}:
        # A column called time alone holds the day as well.
        found = [replace(use, holds=WHEN if use.holds == CLOCK else use.holds) for use in found]
    return tuple(found)


def read_readings(text: str, uses: Sequence[ColumnUse], zone: str) -> ReadingsFile:
    """Return the samples of a file by what the person said its columns hold.

    Raises
    ------
    InputError
        When no column holds the day, or two hold the same.
    """
    holds = [use.holds for use in uses if use.holds is not None]
    if WHEN not in holds:
        raise InputError("columns", "say which column holds the day")
    twice = {each for each in holds if holds.count(each) > 1}
    if twice:
        raise InputError("columns", f"two columns hold {min(twice)}; leave one out")
    table = read_table(text)
    samples, faults = [], list[LineFault]()
    for number, row in enumerate(table.rows):
        line = table.first_line + number
        try:
            sample = _sample(table, row, uses, line, zone)
        except InputError as error:
            faults.append(LineFault(line=line, column=error.field, reason=error.reason))
            continue
        if sample.values:
            samples.append(sample)
    return ReadingsFile(uses=tuple(uses), samples=tuple(samples), faults=tuple(faults))


def _sample(
    table: Table, row: Sequence[str], uses: Sequence[ColumnUse], line: int, zone: str
) -> IncomingSample:
    values: dict[str, float] = {}
    when = clock = note = ""
    for use in uses:
        place = table.column(use.column)
        cell = row[place].strip() if place < len(row) else ""
        if use.holds == WHEN:
            when = cell
        elif use.holds == CLOCK:
            clock = cell
        elif use.holds == NOTE:
            note = plain_cell(cell)
        elif use.holds is not None and cell:
            values[use.holds] = _value(table, use, use.holds, cell)
    if not when:
        raise InputError(WHEN, "the day is missing")
    day, at = _instant(f"{when} {clock}".strip(), zone)
    bands = _bands_taken(values)
    return IncomingSample(line=line, on=day, at=at, values=values, bands=bands, note=note)


def _bands_taken(values: dict[str, float]) -> dict[str, Band]:
    """Take the ends of bands out of the values; a band alone is read at its middle.

    Raises
    ------
    InputError
        When one end is missing, or they are out of order.
    """
    found = {}
    for name in [name for name in QUANTITY_BOUNDS if any(f"{name} {e}" in values for e in ENDS)]:
        low, high = (values.pop(f"{name} {end}", None) for end in ENDS)
        if low is None or high is None:
            raise InputError(name, f"{name} has one end of its band only; give both, or none")
        if low > high:
            raise InputError(name, f"the band of {name} has its high end below its low one")
        found[name] = Band(low=low, high=high)
        values.setdefault(name, found[name].middle)
    return found


def _value(table: Table, use: ColumnUse, holds: str, cell: str) -> float:
    value = table.number(cell)
    if math.isnan(value):
        raise InputError(use.column, f"“{cell[:40]}” is not a number")
    dimension = DIMENSION_OF.get(_reading_of(holds))
    if use.unit is None or dimension is None:
        return value
    return to_inside(value, use.unit, dimension)


def _instant(cell: str, zone: str) -> tuple[date, datetime]:
    """Return local day and instant of an ISO or dotted date or time; a day alone means noon."""
    dotted = _DOTTED.fullmatch(cell)
    if dotted is not None:
        day_of_month, month, year, clock = dotted.groups()
        cell = f"{year}-{month:0>2}-{day_of_month:0>2}" + (f" {clock:0>5}" if clock else "")
    try:
        if len(cell) <= len("2026-05-01"):
            day = date.fromisoformat(cell)
            return day, local_instant(day, NOON, zone)
        moment = datetime.fromisoformat(cell)
    except ValueError as error:
        raise InputError(
            WHEN, f"“{cell[:40]}” is no day; write it like 2026-05-01 18:30 or 1.5.2026 18:30"
        ) from error
    if moment.tzinfo is None:
        clock = time(moment.hour, moment.minute, moment.second, moment.microsecond)
        return moment.date(), local_instant(moment.date(), clock, zone)
    return moment.astimezone(ZoneInfo(zone)).date(), moment.astimezone(UTC)


def _written(sample: Sample, name: str) -> str:
    seen = sample.values.get(name)
    return "" if seen is None else repr(round(seen.value, 6))


def _band(sample: Sample, name: str) -> Band | None:
    seen = sample.values.get(name)
    return None if seen is None else seen.band


def _band_cells(sample: Sample, name: str) -> tuple[str, str]:
    band = _band(sample, name)
    return ("", "") if band is None else (repr(round(band.low, 6)), repr(round(band.high, 6)))


def _known_names(speech: Speech) -> Mapping[str, str]:
    names = {name: name for name in QUANTITY_BOUNDS}
    names |= {measured_name(speech, name).casefold(): name for name in QUANTITY_BOUNDS}
    names |= {f"{told} {end}": f"{name} {end}" for told, name in names.items() for end in ENDS}
    names |= dict.fromkeys(_WHEN_NAMES, WHEN) | dict.fromkeys(_CLOCK_NAMES, CLOCK)
    return names | dict.fromkeys(_NOTE_NAMES, NOTE)


def _unit_of(column: str) -> Unit | None:
    found = _UNIT.search(column)
    if found is None:
        return None
    wanted = found[1].casefold()
    return next((unit for unit in Unit if unit.value.casefold() == wanted), None)


def _reading_of(holds: str) -> str:
    """Return the reading that a column is about, be it its value or an end of its band."""
    name, _, end = holds.rpartition(" ")
    return name if end in ENDS else holds


def _fits(holds: str, unit: Unit | None) -> bool:
    dimension = DIMENSION_OF.get(_reading_of(holds))
    return dimension is not None and (unit is None or unit in units_of(dimension))
