"""Readings, products and rules that the tests of dosing start from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Final

from tubcare.ledger.categories import SpendCategory
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.water_shelf import put_product
from tubcare.services.week import DueItem, this_week
from tubcare.water.products import usual_product
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.values import SupplyId, TaskId
    from tubcare.water.compounds import Compound

HIGH_PH: Final = {"ph": 8.1, "free_chlorine_mg_l": 2.0, "alkalinity_mg_l": 70.0, "water_c": 6.0}
IN_RANGE: Final = {**HIGH_PH, "ph": 7.4}
HIGH_PH_LOW_CHLORINE: Final = {**HIGH_PH, "free_chlorine_mg_l": 0.3}
TAP: Final = WaterTest(water_c=10.0, ph=7.6, alkalinity_mg_l=45.0, calcium_mg_l=40.0)


def put_on_shelf(desk: Desk, name: str, compound: Compound) -> SupplyId:
    """Put a usual product on the shelf: 1000 of its unit (g or mL), bought for 10.00."""
    product = replace(usual_product(compound), name=name)
    supply = put_product(desk, product)
    purchase = StockPurchase(
        on=date(2026, 4, 2),
        supply=name,
        unit=product.unit,
        category=SpendCategory.CHEMICALS,
        quantity_milli=1_000_000,
        minor=1000,
    )
    buy_stock(desk, purchase)
    return supply


def when(text: str) -> list[dict[str, str]]:
    """Return the triggers of a task that hangs on a reading alone."""
    return [{"kind": "reading", "when": text}]


def due(desk: Desk) -> dict[TaskId, DueItem]:
    """Return what is late or due today, by task."""
    week = this_week(desk)
    return {item.task: item for item in (*week.late, *week.due_today)}
