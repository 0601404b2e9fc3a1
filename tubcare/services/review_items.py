"""What each supply and meter cost in a period, and how much of it there was."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.contributions import PowerCharge, contributions_between
from tubcare.ledger.effects import ItemCost
from tubcare.store.tables import EntryRow, SupplyRow, UseRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Connection

    from tubcare.ledger.review_model import Period

SUPPLY = "supply:"
METER = "meter:"
REST = "rest:"
"""Beginnings of the keys of items: a supply by name, a meter, the rest of a category."""


def items_of(
    connection: Connection, period: Period, used: Mapping[SpendCategory, int]
) -> list[ItemCost]:
    """Return supplies, power and water of a period with their quantities, and the rest without.

    The items add up to `used`, what each category cost in the *used* view.
    """
    items: list[ItemCost] = []
    known: Counter[SpendCategory] = Counter()
    for category, item in (
        *_supplies(connection, period),
        *_power(connection, period),
        *_water(connection, period),
    ):
        items.append(item)
        known[category] += item.minor
    for category in SpendCategory:
        rest = used.get(category, 0) - known[category]
        if rest:
            items.append(ItemCost(key=f"{REST}{category.value}", minor=rest))
    return items


def _supplies(connection: Connection, period: Period) -> list[tuple[SpendCategory, ItemCost]]:
    use, supply = table_of(UseRow), table_of(SupplyRow)
    rows = connection.execute(
        select(
            supply.c.name,
            supply.c.unit,
            supply.c.category,
            func.sum(use.c.cost_minor),
            func.sum(use.c.quantity_milli),
        )
        .join(supply, supply.c.id == use.c.supply_id)
        .where(use.c.kind == "used", use.c.on_date >= period.first, use.c.on_date <= period.last)
        .group_by(supply.c.name, supply.c.unit, supply.c.category)
    )
    return [
        (
            SpendCategory(category),
            ItemCost(
                key=f"{SUPPLY}{name}", unit=unit, minor=int(minor), quantity_milli=int(quantity)
            ),
        )
        for name, unit, category, minor, quantity in rows
    ]


def _power(connection: Connection, period: Period) -> list[tuple[SpendCategory, ItemCost]]:
    """Return the power of the period, spread by day between readings as in the *used* view."""
    table = table_of(EntryRow)
    rows = connection.execute(
        select(table.c.on_date, table.c.from_date, table.c.minor, table.c.quantity_milli).where(
            table.c.kind == "power",
            table.c.on_date >= period.first,
            func.coalesce(table.c.from_date, table.c.on_date) <= period.last,
        )
    ).all()
    minor = quantity = 0
    for row in rows:
        began = row.from_date or row.on_date
        for amount, is_money in ((row.minor, True), (row.quantity_milli or 0, False)):
            charge = PowerCharge(from_on=began, on=row.on_date, minor=amount)
            part = contributions_between(charge, period.first, period.last).used_minor
            if is_money:
                minor += part
            else:
                quantity += part
    if not minor:
        return []
    item = ItemCost(key=f"{METER}power", unit="kWh", minor=minor, quantity_milli=quantity)
    return [(SpendCategory.POWER, item)]


def _water(connection: Connection, period: Period) -> list[tuple[SpendCategory, ItemCost]]:
    table = table_of(EntryRow)
    minor, quantity = connection.execute(
        select(
            func.coalesce(func.sum(table.c.minor), 0),
            func.coalesce(func.sum(table.c.quantity_milli), 0),
        ).where(
            table.c.kind == "water",
            table.c.on_date >= period.first,
            table.c.on_date <= period.last,
        )
    ).one()
    if not minor:
        return []
    item = ItemCost(key=f"{METER}water", unit="l", minor=int(minor), quantity_milli=int(quantity))
    return [(SpendCategory.WATER, item)]
