"""Finds out what the columns of a weather table hold, and what has to be asked."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tubcare.energy.table_text import Table
    from tubcare.energy.weather_units import SunUnit, WindUnit


class Unit(StrEnum):
    """Unit of a temperature."""

    CELSIUS = "celsius"
    FAHRENHEIT = "fahrenheit"


class DateOrder(StrEnum):
    """Order of day, month and year in a date of figures."""

    YEAR_FIRST = "year_first"
    DAY_FIRST = "day_first"
    MONTH_FIRST = "month_first"


class Quantity(StrEnum):
    """What a column holds."""

    STAMP = "stamp"
    TIME = "time"
    YEAR = "year"
    MONTH = "month"
    DAY = "day"
    HOUR = "hour"
    AIR = "air"
    LOWEST = "lowest"
    HIGHEST = "highest"
    SUN = "sun"
    WIND = "wind"
    HUMIDITY = "humidity"


class Question(StrEnum):
    """What the file does not tell."""

    TIME_COLUMN = "time_column"
    TEMPERATURE_COLUMN = "temperature_column"
    TEMPERATURE_UNIT = "temperature_unit"
    DATE_ORDER = "date_order"


# Words that name a quantity, as whole words of a column's name; the first match counts.
_WORDS: tuple[tuple[Quantity, str], ...] = (
    (
        Quantity.LOWEST,
        (
            r"t ?min|temp(erature)?( 2 ?m)? ?min|min ?temp(erature)?|tn|tnk|lowest|minimum"
            r"|tiefsttemperatur|temperatur ?min(imum)?|(ilman )?(alin|minimi) ?lämpötila"
        ),
    ),
    (
        Quantity.HIGHEST,
        (
            r"t ?max|temp(erature)?( 2 ?m)? ?max|max ?temp(erature)?|tx|txk|highest|maximum"
            r"|höchsttemperatur|temperatur ?max(imum)?|(ilman )?(ylin|maksimi) ?lämpötila"
        ),
    ),
    (
        Quantity.AIR,
        (
            r"dry bulb|air temp(erature)?|temp(erature)?( ?[cf])?|temp(erature)? 2 ?m( mean)?|t2m"
            r"|ta|tavg|tmean|t|tt tu|tmk|(luft)?temperatur|(ilman )?lämpötila"
        ),
    ),
    (
        Quantity.SUN,
        (
            r"ghi|global (horizontal )?(radiation|irradiance)|solar radiation"
            r"|shortwave( radiation( sum)?)?|globalstrahlung"
        ),
    ),
    (Quantity.HUMIDITY, r"rh|rf|rhum|(relative )?humidity( 2 ?m)?|relative (luft)?feuchte"),
    (
        Quantity.WIND,
        r"wind( ?speed)?( 10 ?m)?|wspd|ws|wg|windgeschwindigkeit|(keski)?tuulen nopeus",
    ),
    (Quantity.STAMP, r"date ?time|time ?stamp|date|dt|valid|utc|(mess ?)?datum|zeitstempel"),
    (Quantity.TIME, r"time|clock|uhrzeit|zeit|klo|aika|kellonaika"),
    (Quantity.YEAR, r"year|yyyy|yr|jahr|vuosi"),
    (Quantity.MONTH, r"month|mm|mon|monat|kk|kuukausi"),
    (Quantity.DAY, r"day|dd|tag|pv|päivä"),
    (Quantity.HOUR, r"hour|hh|hr|stunde"),
)
_NOT_A_READING = re.compile(r"source|uncert|flag|quality|station|name|code")
_UNIT_IN_NAME = re.compile(r"[(\[_ ]?(?:deg(?:rees)?|°)?\s*([CF])[)\]]?$")
_CELSIUS_WORDS = re.compile(r"celsius|centigrade|°c|degc|\(c\)|\[c\]", re.IGNORECASE)
_FAHRENHEIT_WORDS = re.compile(r"fahrenheit|°f|degf|\(f\)|\[f\]", re.IGNORECASE)
_TEMPERATURES = (Quantity.AIR, Quantity.LOWEST, Quantity.HIGHEST)


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """What was found: column by quantity, the unit and date order where they are clear.

    A column of wind or sun whose unit is not clear is none of them: without it the engine takes
    what it states, with a wrong unit it would mislead. `unclear` names such columns, `left_out`
    those that a person does not want.
    """

    by_quantity: dict[Quantity, str]
    unit: Unit | None
    date_order: DateOrder | None
    wind_unit: WindUnit | None = None
    sun_unit: SunUnit | None = None
    unclear: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()

    def questions(self) -> tuple[Question, ...]:
        """Return what has to be asked before the table can be read."""
        have = self.by_quantity.keys()
        in_parts = {Quantity.MONTH, Quantity.DAY} <= have
        asked = []
        if Quantity.STAMP not in have and not in_parts:
            asked.append(Question.TIME_COLUMN)
        if Quantity.AIR not in have and Quantity.LOWEST not in have:
            asked.append(Question.TEMPERATURE_COLUMN)
        if self.unit is None:
            asked.append(Question.TEMPERATURE_UNIT)
        if self.date_order is None:
            asked.append(Question.DATE_ORDER)
        return tuple(asked)


def find_columns(table: Table) -> Columns:
    """Return what the columns of `table` hold, as far as names and values tell.

    The unit comes from a column's name, or from values that only one unit allows (below -40 or
    over 60: then it must be Fahrenheit; air below -5 in a file that never exceeds 60 may be either
    and is asked).

    Raises nothing; what is not clear is None and asked.

    Parameters
    ----------
    table
        As taken apart.

    References
    ----------
    Own choice of words that name a column, from open weather files; English, German, Finnish.
    """
    found: dict[Quantity, str] = {}
    for name in table.names:
        quantity = _quantity(name)
        if quantity is Quantity.STAMP and not _holds_a_figure(table, name):
            continue
        if quantity is not None and quantity not in found:
            found[quantity] = name
    for quantity in (Quantity.TIME, Quantity.DAY):
        if Quantity.STAMP not in found and _holds_dates(table, found.get(quantity)):
            found[Quantity.STAMP] = found.pop(quantity)
    return Columns(
        by_quantity=found, unit=_unit(table, found), date_order=_date_order(table, found)
    )


def _holds_dates(table: Table, name: str | None) -> bool:
    """Return whether a column of times or days tells whole dates."""
    if name is None:
        return False
    at = table.column(name)
    first = next((row[at] for row in table.rows if at < len(row)), "")
    return re.match(r"\s*\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}(?!\d)", first) is not None


def _holds_a_figure(table: Table, name: str) -> bool:
    at = table.column(name)
    return any(cell.isdigit() for row in table.rows[:1] if at < len(row) for cell in row[at])


def _quantity(name: str) -> Quantity | None:
    plain = re.sub(r"[(\[].*?[)\]]", " ", name.lower())
    plain = re.sub(r"[^a-z0-9äöü]+", " ", plain).strip()
    if _NOT_A_READING.search(plain):
        return None
    for quantity, words in _WORDS:
        if re.fullmatch(words, plain):
            return quantity
    return None


def _unit(table: Table, found: dict[Quantity, str]) -> Unit | None:
    names = [found[quantity] for quantity in _TEMPERATURES if quantity in found]
    for name in names:
        bare = re.sub(r"(?i)temp(erature)?|t2m|tmin|tmax|tavg", "", name)
        letter = _UNIT_IN_NAME.search(bare)
        if _CELSIUS_WORDS.search(name) or (letter and letter[1] == "C"):
            return Unit.CELSIUS
        if _FAHRENHEIT_WORDS.search(name) or (letter and letter[1] == "F"):
            return Unit.FAHRENHEIT
    for name in names:
        at = table.column(name)
        values = [table.number(row[at]) for row in table.rows if at < len(row)]
        if any(value > 60.0 for value in values if not math.isnan(value)):
            return Unit.FAHRENHEIT
    return None


def _date_order(table: Table, found: dict[Quantity, str]) -> DateOrder | None:
    if Quantity.STAMP not in found:
        return DateOrder.YEAR_FIRST
    at = table.column(found[Quantity.STAMP])
    hint = found[Quantity.STAMP].upper()
    if "MM/DD" in hint or "DD/MM" in hint:
        return DateOrder.MONTH_FIRST if "MM/DD" in hint else DateOrder.DAY_FIRST
    dates = [re.match(r"\s*(\d+)[-/.](\d+)", row[at]) for row in table.rows if at < len(row)]
    pairs = [(match[1], match[2]) for match in dates if match]
    # Figures without signs between, such as 20250601, have only one order.
    if not pairs or any(len(first) == 4 for first, _ in pairs):
        return DateOrder.YEAR_FIRST
    if any(int(first) > 12 for first, _ in pairs):
        return DateOrder.DAY_FIRST
    return DateOrder.MONTH_FIRST if any(int(second) > 12 for _, second in pairs) else None
