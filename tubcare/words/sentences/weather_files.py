"""What a weather file would bring, told before it is taken over."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.dates import medium_date
from tubcare.words.lists import all_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from tubcare.energy.weather_columns import Unit
    from tubcare.energy.weather_table import BadRow
    from tubcare.words.locale import Speech


def period_told(speech: Speech, first: date | None, last: date | None) -> str:
    """Return from when to when a file reaches, empty when nothing was read."""
    if first is None or last is None:
        return ""
    return speech.say(
        "From {first} to {last}.", first=medium_date(speech, first), last=medium_date(speech, last)
    )


def columns_told(speech: Speech, columns: Sequence[str], unit: Unit | None) -> str:
    """Return which columns are used, and the unit of their temperatures."""
    names = all_of(speech, columns)
    if unit is None:
        return speech.say("Columns used: {names}.", names=names)
    sign = "°C" if unit.value == "celsius" else "°F"
    return speech.say("Columns used: {names}, in {unit}.", names=names, unit=sign)


def measured_told(speech: Speech, source: str, first: date, last: date) -> str:
    """Return which measured weather is in use."""
    return speech.say(
        "Measured: {source}, {first} to {last}.",
        source=source,
        first=medium_date(speech, first),
        last=medium_date(speech, last),
    )


def typical_told(speech: Speech, source: str) -> str:
    """Return which typical weather is in use; without a source, the monthly means."""
    if source:
        return speech.say("Where nothing was measured: {source}.", source=source)
    return speech.say("Where nothing was measured: your twelve monthly means.")


def without_sun_told(speech: Speech) -> str:
    """Return that monthly means bring no sun without a latitude."""
    return speech.say(
        "The tub's latitude is not known, so no sun is counted; write it down in its profile."
    )


def no_weather_told(speech: Speech) -> str:
    """Return that no weather is known."""
    return speech.say("None yet; without weather nothing can be modelled.")


def unused_told(speech: Speech, unclear: Sequence[str], left_out: Sequence[str]) -> str:
    """Return which columns are not used: those whose unit is not clear, and those not wanted."""
    told = []
    if unclear:
        told.append(
            speech.say(
                "Not used, as the unit is not clear: {names}.", names=all_of(speech, unclear)
            )
        )
    if left_out:
        told.append(speech.say("Left out as you said: {names}.", names=all_of(speech, left_out)))
    return " ".join(told)


def gaps_told(speech: Speech, missing: int, longest: int, begins: date | None) -> str:
    """Return how many days or hours are missing and where the longest gap lies."""
    if not missing or begins is None:
        return ""
    if missing == 1:
        return speech.say("One row is missing, that of {day}.", day=medium_date(speech, begins))
    return speech.say_count(
        "{n} row is missing; the longest gap has {longest}, from {day} on.",
        "{n} rows are missing; the longest gap has {longest}, from {day} on.",
        missing,
        longest=longest,
        day=medium_date(speech, begins),
    )


def bad_rows_told(speech: Speech, rows: Sequence[BadRow]) -> str:
    """Return how many rows were left out, and the first one."""
    if not rows:
        return ""
    return speech.say_count(
        "{n} row is left out: line {line}.",
        "{n} rows are left out, the first in line {line}.",
        len(rows),
        line=rows[0].line,
    )


def joins_told(speech: Speech, source: str) -> str:
    """Return which weather a file goes on from, empty for none."""
    if not source:
        return ""
    return speech.say(
        "It is put together with {source}; where both tell an hour, this file counts.",
        source=source,
    )


def replaces_told(speech: Speech, source: str) -> str:
    """Return which file would be replaced, empty for none."""
    return speech.say("It takes the place of {source}.", source=source) if source else ""
