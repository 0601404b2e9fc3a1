"""Reads hourly prices of electricity from the text of a table."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.energy.price_stamps import read_price_stamps
from tubcare.energy.table_text import Table, read_table
from tubcare.errors import InputError

if TYPE_CHECKING:
    from datetime import tzinfo

_TIME_WORDS = re.compile(
    r"time|date|hour|start|from|stamp|utc|datum|zeit|stunde|aika|tunti|päivä|klo", re.IGNORECASE
)
_DATE_ALONE = re.compile(r'\s*"?\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}"?\s*$')
_PRICE_WORDS = re.compile(r"price|cost|/ ?k?m?wh|spot|preis|hinta", re.IGNORECASE)
_HOUR = timedelta(hours=1)
# Of any currency for a kWh or MWh: beyond it a row is no price. Own choice.
_MOST_PRICE = 1e6
_MOST_HOURS = 24 * 366 * 5
_DECIMALS = 5


class PricePer(StrEnum):
    """What a figure in a price file stands for."""

    UNIT_KWH = "unit_kwh"  # euros, pounds, kroner for a kilowatt hour
    CENT_KWH = "cent_kwh"  # hundredths of them for a kilowatt hour
    UNIT_MWH = "unit_mwh"  # euros, pounds, kroner for a megawatt hour


_FACTORS = {
    PricePer.UNIT_KWH: Decimal(1),
    PricePer.CENT_KWH: Decimal("0.01"),
    PricePer.UNIT_MWH: Decimal("0.001"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HourlyPrices:
    """Prices by the hour, in units of the currency for a kilowatt hour.

    `prices` has one for each hour from `start` on, None where the file leaves it out; `bad_rows`
    counts the rows that could not be read.
    """

    start: datetime
    prices: tuple[Decimal | None, ...]
    bad_rows: int

    @property
    def missing(self) -> int:
        """How many hours have no price. [h]."""
        return sum(price is None for price in self.prices)


def price_unit(text: str) -> PricePer | None:
    """Return what the figures stand for as far as the column's name tells, None to be asked.

    Parameters
    ----------
    text
        As exported.

    Raises
    ------
    InputError
        If the text holds no table with a time and a price.

    References
    ----------
    Own choice of words that name a unit.
    """
    table = read_table(text)
    name = table.names[_columns(table)[1]].lower()
    if "mwh" in name:
        return PricePer.UNIT_MWH
    if "kwh" not in name:
        return None
    cents = re.search(r"\b(ct|cent|cents|c|øre|öre|ore|p|snt)\b", name)
    return PricePer.CENT_KWH if cents else PricePer.UNIT_KWH


def read_prices(text: str, *, clock: tzinfo, per: PricePer | None = None) -> HourlyPrices:
    """Return the hourly prices in `text`; an hour written twice in autumn is two hours.

    Parameters
    ----------
    text
        As exported: a column with the hour's beginning, a column with its price.
    clock
        The clock of times that carry no offset.
    per
        What the figures stand for, in currency for a [kWh] or [MWh]; as the column's name says
        when None.

    Raises
    ------
    InputError
        If there are no such columns, the unit has to be asked, or the rows are not hours.

    References
    ----------
    Own choice; the clock's two hours of autumn follow from the IANA time zone database.
    """
    per = per or price_unit(text)
    if per is None:
        raise InputError(
            "price_unit",
            "the file does not say what the price is for; say whether it is for a kWh or a MWh",
        )
    table = read_table(text)
    when, what = _columns(table)
    by_start: dict[datetime, Decimal] = {}
    bad = 0
    before: datetime | None = None
    stamps = read_price_stamps([_when(row, when) for row in table.rows])
    for row, local in zip(table.rows, stamps, strict=True):
        value = table.number(row[what]) if len(row) > what else math.nan
        if local is None or not abs(value) <= _MOST_PRICE:
            bad += 1
            continue
        at = _instant(local, clock, again=local == before)
        # Full by the clock it is told on, or by UTC where that lies half an hour beside it.
        full = not local.minute or not at.minute
        begins_as_before = before is None or local.minute == before.minute
        if not full or not begins_as_before:
            raise InputError("prices", f"{local} is not a full hour; hourly prices are needed")
        before = local
        by_start[at] = round(Decimal(repr(value)) * _FACTORS[per], _DECIMALS)
    if not by_start:
        raise InputError("prices", "no row has an hour and a price that can be read")
    return _whole(by_start, bad)


def _whole(by_start: dict[datetime, Decimal], bad: int) -> HourlyPrices:
    if len({at.minute for at in by_start}) > 1:
        raise InputError(
            "prices",
            "the hours of the file do not follow each other, as where a clock is put forward by"
            " half an hour; choose a file that is told in UTC",
        )
    first, last = min(by_start), max(by_start)
    count = int((last - first) / _HOUR) + 1
    if count > _MOST_HOURS:
        raise InputError("prices", f"the file spans {count // 24} days; at most 5 years are kept")
    return HourlyPrices(
        start=first,
        prices=tuple(by_start.get(first + n * _HOUR) for n in range(count)),
        bad_rows=bad,
    )


def _columns(table: Table) -> tuple[tuple[int, ...], int]:
    """Return the columns of time and price: by their names, else the first and the last.

    A date without a time takes its hour from the next column of time.
    """
    timed = [n for n, name in enumerate(table.names) if _TIME_WORDS.search(name)] or [0]
    priced = [n for n, name in enumerate(table.names) if _PRICE_WORDS.search(name)]
    what = next((n for n in priced if n != timed[0]), len(table.names) - 1)
    if what == timed[0]:
        raise InputError("prices", "needs a column with the time and one with the price")
    alone = len(table.rows[0]) <= timed[0] or not _DATE_ALONE.match(table.rows[0][timed[0]])
    hours = [n for n in timed[1:] if n != what]
    return (timed[0],) if alone else (timed[0], *hours[:1]), what


def _when(row: tuple[str, ...], columns: tuple[int, ...]) -> str:
    return " ".join(row[column].strip().strip('"') for column in columns if column < len(row))


def _instant(local: datetime, clock: tzinfo, *, again: bool) -> datetime:
    if local.tzinfo is not None:
        return local.astimezone(UTC)
    return local.replace(tzinfo=clock, fold=int(again)).astimezone(UTC)
