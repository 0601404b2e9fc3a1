"""Commands that write readings to a file and take them over from one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.exchange.files import read_text_file, write_table
from tubcare.exchange.readings_csv import ColumnUse, offered_uses, read_readings, readings_csv
from tubcare.services.water_import import all_samples, preview_readings, take_readings
from tubcare.water.units import Unit
from tubcare.words.sentences.water_import import fault_text, preview_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Output
    from tubcare.services.desk import Desk


def export(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write all readings of a tub to a file."""
    place, samples = all_samples(desk, arguments.values.tub)
    path = write_table(Path(arguments.values.file), readings_csv(samples, place.zone))
    output.data({"file": str(path), "samples": len(samples)})
    output.line(output.speech.say("Written: {file}", file=str(path)))


def take(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show what a file would bring; with --take, take all of it over or nothing."""
    values, speech = arguments.values, output.speech
    text = read_text_file(Path(values.file))
    place, _samples = all_samples(desk, values.tub)
    uses = _mapped(offered_uses(text, speech), values.map, values.unit)
    found = read_readings(text, uses, place.zone)
    preview = preview_readings(desk, place.id, found.samples)
    faults = (*found.faults, *preview.faults)
    taken = bool(values.take) and not faults
    if taken:
        take_readings(desk, place.id, found.samples)
    output.data(
        {
            "columns": {use.column: use.holds for use in uses},
            "units": {u.column: u.unit.value for u in uses if u.unit is not None},
            "samples": preview.samples,
            "new": preview.new,
            "known": preview.known,
            "faults": [{"line": f.line, "column": f.column, "reason": f.reason} for f in faults],
            "taken": taken,
        }
    )
    for use in uses:
        output.line(f"{use.column} -> {use.holds or '-'}")
    output.line(preview_text(speech, preview.new, preview.known, preview.span))
    for fault in faults[:20]:
        output.line(fault_text(speech, fault.line, fault.reason))
    if values.take and faults:
        raise InputError("file", speech.say("nothing was taken over; mend these lines first"))
    if not values.take:
        output.line(speech.say("Nothing is written yet. Say --take to take it over."))


def _mapped(
    offered: Sequence[ColumnUse], maps: Sequence[str], units: Sequence[str]
) -> tuple[ColumnUse, ...]:
    found = {use.column: use for use in offered}
    for text in maps:
        column, _, holds = text.rpartition("=")
        found[column] = replace(_column(found, column), holds=holds if holds != "-" else None)
    for text in units:
        column, _, unit = text.rpartition("=")
        found[column] = replace(_column(found, column), unit=_unit(unit))
    return tuple(found.values())


def _column(found: dict[str, ColumnUse], column: str) -> ColumnUse:
    if column not in found:
        names = ", ".join(found)
        raise InputError("map", f"there is no column “{column}”; there are {names}")
    return found[column]


def _unit(text: str) -> Unit:
    try:
        return Unit(text)
    except ValueError as error:
        known = ", ".join(Unit)
        raise InputError("unit", f"“{text}” is not known; choose from {known}") from error
