"""The ledger as a table that a spreadsheet opens safely."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.exchange.cells import safe_cell, table_text
from tubcare.ledger.money import to_decimal

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tubcare.ledger.currency import Currency
    from tubcare.services.entries import Entry
    from tubcare.services.used import UsedLine

HEAD = (
    "entry",
    "date",
    "kind",
    "category",
    "amount",
    "currency",
    "supply",
    "quantity",
    "unit",
    "task",
    "tub",
    "refund of",
    "paid to",
    "note",
)
USED_HEAD = (
    "entry",
    "date",
    "kind",
    "category",
    "used",
    "currency",
    "supply",
    "quantity",
    "unit",
    "task",
    "tub",
    "note",
)
_METER_UNITS = {"power": "kWh", "water": "l"}


def ledger_csv(entries: Iterable[Entry], currency: Currency) -> str:
    """Return one line for each amount, in the order given.

    Amounts and quantities are plain numbers with a point, dates are ISO 8601; texts that a
    spreadsheet could run are guarded.
    """
    return table_text((HEAD, *(_amount_cells(entry, currency) for entry in entries)))


def used_csv(lines: Iterable[UsedLine], currency: Currency) -> str:
    """Return one line for each use, in the order given; figures and texts as in `ledger_csv`."""
    return table_text((USED_HEAD, *(_use_cells(line, currency) for line in lines)))


def _amount_cells(entry: Entry, currency: Currency) -> tuple[object, ...]:
    return (
        entry.id,
        entry.on.isoformat(),
        entry.kind,
        entry.category.value,
        str(to_decimal(entry.minor, currency)),
        currency.code,
        safe_cell(entry.supply_name),
        _quantity(entry.quantity_milli),
        safe_cell(entry.supply_unit or _METER_UNITS.get(entry.kind, "")),
        safe_cell(entry.task_title),
        safe_cell(entry.tub_name),
        "" if entry.refund_of is None else entry.refund_of,
        safe_cell(entry.payee),
        safe_cell(entry.note),
    )


def _use_cells(line: UsedLine, currency: Currency) -> tuple[object, ...]:
    return (
        "" if line.entry is None else line.entry,
        line.on.isoformat(),
        line.kind,
        line.category.value,
        str(to_decimal(line.minor, currency)),
        currency.code,
        safe_cell(line.supply_name),
        _quantity(line.quantity_milli),
        safe_cell(line.supply_unit or _METER_UNITS.get(line.kind, "")),
        safe_cell(line.task_title),
        safe_cell(line.tub_name),
        safe_cell(line.note),
    )


def _quantity(milli: int | None) -> str:
    return "" if milli is None else str(Decimal(milli).scaleb(-3))
