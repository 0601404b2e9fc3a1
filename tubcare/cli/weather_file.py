"""A weather file named on the command line, and what was said about it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tubcare.energy.weather_columns import DateOrder, Quantity, Unit
from tubcare.energy.weather_text import Answers
from tubcare.energy.weather_units import SunUnit, WindUnit
from tubcare.errors import InputError

if TYPE_CHECKING:
    import argparse


def read_file(name: str) -> str:
    """Return the text of a file; one that is no UTF-8 is taken for Latin 1.

    Raises
    ------
    InputError
        When it cannot be read.
    """
    try:
        raw = Path(name).read_bytes()
    except OSError as error:
        raise InputError("file", f"{name} cannot be read: {error.strerror}") from error
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("latin-1")


def answers_of(values: argparse.Namespace) -> Answers:
    """Return what was said about a weather file.

    Raises
    ------
    InputError
        For a quantity that nobody knows.
    """
    columns: dict[Quantity, str] = {}
    for pair in values.column:
        quantity, equals, name = pair.partition("=")
        if not equals or quantity not in set(Quantity):
            known = ", ".join(Quantity)
            raise InputError("column", f"“{pair}” is not like lowest=TNK; quantities are {known}")
        columns[Quantity(quantity)] = name
    return Answers(
        columns=columns or None,
        unit=None if values.unit is None else Unit(values.unit),
        date_order=None if values.date_order is None else DateOrder(values.date_order),
        wind_unit=None if values.wind_unit is None else WindUnit(values.wind_unit),
        sun_unit=None if values.sun_unit is None else SunUnit(values.sun_unit),
    )
