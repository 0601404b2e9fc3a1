"""Readings of a drift test as people write them: 0 5.0; 4 6.1; 8 7.1."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.words.numbers import parse_number, plain_number
from tubcare.words.quantities import Unit, parse_quantity, quantity_figure

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.words.locale import Speech

_PAIR = re.compile(r"\s*(\S+)\s*(?:h\b)?\s+(\S+)\s*(?:°?\s*[CF])?\s*$")


def example_readings(speech: Speech) -> str:
    """Return readings of a usual test, in the units that a person types."""
    return readings_text(speech, ((0.0, 5.0), (4.0, 6.1), (8.0, 7.1), (12.0, 8.0)))


def readings_text(speech: Speech, readings: Sequence[tuple[float, float]]) -> str:
    """Return readings as they would be typed."""
    return "; ".join(
        f"{plain_number(speech, hours)} {quantity_figure(speech, water_c, Unit.CELSIUS, 2)}"
        for hours, water_c in readings
    )


def parse_readings(speech: Speech, field: str, text: str) -> tuple[tuple[float, float], ...]:
    """Return hours and water temperatures [°C] that a person typed, parted by semicolons.

    Raises
    ------
    InputError
        For a part that is not two numbers.
    """
    found = []
    for part in text.split(";"):
        if not part.strip():
            continue
        match = _PAIR.match(part)
        if match is None:
            raise InputError(
                field,
                speech.say(
                    "write each reading as hours and temperature: {example}",
                    example=example_readings(speech),
                ),
            )
        hours = float(parse_number(speech, field, match[1]))
        found.append((hours, parse_quantity(speech, field, match[2], Unit.CELSIUS)))
    return tuple(found)
