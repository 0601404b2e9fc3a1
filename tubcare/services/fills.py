"""Fresh water that goes in, and what it costs."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.charges import water_minor
from tubcare.ledger.currency import currency
from tubcare.services import fields
from tubcare.services.desk import setting
from tubcare.services.household import WATER_PRICE, logbook_currency
from tubcare.store.tables import EntryRow, FillRow

if TYPE_CHECKING:
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.store.unit import Unit
    from tubcare.values import CompletionId, TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """Fresh water that went in, with its local day and instant. [L]."""

    litres: float
    kind: str
    on: date
    at: datetime
    completion: CompletionId | None = None
    note: str = ""


def insert_fill(unit: Unit, tub: TubId, fill: Fill) -> int:
    """Write down fresh water inside a running use case, charge it, and return its id."""
    row = unit.add(
        FillRow,
        tub_id=tub,
        on_date=fill.on,
        at=fill.at,
        litres=float(fill.litres),
        kind=fill.kind,
        completion_id=fill.completion,
        note=fields.note_text(fill.note),
    )
    price = logbook_price(unit.connection, WATER_PRICE)
    money = currency(logbook_currency(unit.connection))
    minor = 0 if price is None else water_minor(fill.litres, price_per_m3=price, currency=money)
    if minor:
        unit.add(
            EntryRow,
            on_date=fill.on,
            kind="water",
            category=SpendCategory.WATER.value,
            minor=minor,
            quantity_milli=round(fill.litres * 1000),
            tub_id=tub,
            completion_id=fill.completion,
            fill_id=row,
        )
    return row


def logbook_price(connection: Connection, name: str) -> Decimal | None:
    """Return a price of the logbook in its major unit, None when it was never set."""
    text = setting(connection, name)
    return None if text is None else Decimal(text)
