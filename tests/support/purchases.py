"""Purchases put into a logbook, for tests of what lies on the shelf."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tubcare.ledger.categories import SpendCategory
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.supplies import supplies

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId


def buy_filters(
    desk: Desk, pieces: int = 6, *, name: str = "Filter", expires_on: date | None = None
) -> SupplyId:
    """Buy pieces for the shelf at 5.00 each on 2 April 2026."""
    purchase = StockPurchase(
        on=date(2026, 4, 2),
        supply=name,
        unit="piece",
        category=SpendCategory.FILTERS,
        quantity_milli=pieces * 1000,
        minor=pieces * 500,
        expires_on=expires_on,
    )
    buy_stock(desk, purchase)
    return next(each.id for each in supplies(desk) if each.name == name)
