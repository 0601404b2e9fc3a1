"""What each supply and meter cost in a period, and how much of it there was."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from sqlalchemy import bindparam, func, select

from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.contributions import PowerCharge, contributions_between
from tubcare.ledger.effects import ItemCost
from tubcare.services.periods import of_tub
from tubcare.store.tables import EntryRow, SupplyRow, UseRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import BindParameter, Connection, Row

    from tubcare.ledger.review_model import Period
    from tubcare.values import TubId

SUPPLY = "supply:"
METER = "meter:"
REST = "rest:"
"""Beginnings of the keys of items: a supply by name, a meter, the rest of a category."""

# Statements are built once: building one costs several times its run.
_FIRST: BindParameter[Any] = bindparam("first")
_LAST: BindParameter[Any] = bindparam("last")
_ENTRY, _USE, _SUPPLY = table_of(EntryRow), table_of(UseRow), table_of(SupplyRow)
_USED = (
    select(
        _SUPPLY.c.name,
        _SUPPLY.c.unit,
        _SUPPLY.c.category,
        func.sum(_USE.c.cost_minor),
        func.sum(_USE.c.quantity_milli),
    )
    .join(_SUPPLY, _SUPPLY.c.id == _USE.c.supply_id)
    .where(_USE.c.kind == "used", _USE.c.on_date >= _FIRST, _USE.c.on_date <= _LAST)
    .group_by(_SUPPLY.c.name, _SUPPLY.c.unit, _SUPPLY.c.category)
)
_POWER = select(
    _ENTRY.c.on_date, _ENTRY.c.from_date, _ENTRY.c.minor, _ENTRY.c.quantity_milli
).where(
    _ENTRY.c.kind == "power",
    _ENTRY.c.on_date >= _FIRST,
    func.coalesce(_ENTRY.c.from_date, _ENTRY.c.on_date) <= _LAST,
)
_ESTIMATED = _POWER.where(_ENTRY.c.meter_reading_id.is_(None))
_WATER = select(
    func.coalesce(func.sum(_ENTRY.c.minor), 0),
    func.coalesce(func.sum(_ENTRY.c.quantity_milli), 0),
).where(_ENTRY.c.kind == "water", _ENTRY.c.on_date >= _FIRST, _ENTRY.c.on_date <= _LAST)


def _span(period: Period) -> dict[str, date]:
    return {"first": period.first, "last": period.last}


def items_of(
    connection: Connection,
    period: Period,
    used: Mapping[SpendCategory, int],
    tub: TubId | None = None,
) -> list[ItemCost]:
    """Return supplies, power and water of a period with their quantities, and the rest without.

    The items add up to `used`, what each category cost in the *used* view; with a tub, what
    belongs to it alone.
    """
    items: list[ItemCost] = []
    known: Counter[SpendCategory] = Counter()
    for category, item in (
        *_supplies(connection, period, tub),
        *_power(connection, period, tub),
        *_water(connection, period, tub),
    ):
        items.append(item)
        known[category] += item.minor
    for category in SpendCategory:
        rest = used.get(category, 0) - known[category]
        if rest:
            items.append(ItemCost(key=f"{REST}{category.value}", minor=rest))
    return items


def _supplies(
    connection: Connection, period: Period, tub: TubId | None
) -> list[tuple[SpendCategory, ItemCost]]:
    return [
        (
            SpendCategory(category),
            ItemCost(
                key=f"{SUPPLY}{name}", unit=unit, minor=int(minor), quantity_milli=int(quantity)
            ),
        )
        for name, unit, category, minor, quantity in connection.execute(
            of_tub(_USED, _USE.c.tub_id, tub), _span(period)
        )
    ]


def estimated_power(connection: Connection, period: Period, tub: TubId | None = None) -> int:
    """Return how much of the power used in a period no meter has shown yet, in minor units."""
    rows = connection.execute(of_tub(_ESTIMATED, _ENTRY.c.tub_id, tub), _span(period))
    return sum(_share(row, row.minor, period) for row in rows)


def _power(
    connection: Connection, period: Period, tub: TubId | None
) -> list[tuple[SpendCategory, ItemCost]]:
    """Return the power of the period, spread by day between readings as in the *used* view."""
    rows = connection.execute(of_tub(_POWER, _ENTRY.c.tub_id, tub), _span(period)).all()
    minor = sum(_share(row, row.minor, period) for row in rows)
    quantity = sum(_share(row, row.quantity_milli or 0, period) for row in rows)
    if not minor:
        return []
    item = ItemCost(key=f"{METER}power", unit="kWh", minor=minor, quantity_milli=quantity)
    return [(SpendCategory.POWER, item)]


def _share(row: Row[Any, Any, Any, Any], whole: int, period: Period) -> int:
    """Return the share of a charge's money or energy that the days of a period have."""
    charge = PowerCharge(from_on=row.from_date or row.on_date, on=row.on_date, minor=whole)
    return contributions_between(charge, period.first, period.last).used_minor


def _water(
    connection: Connection, period: Period, tub: TubId | None
) -> list[tuple[SpendCategory, ItemCost]]:
    minor, quantity = connection.execute(of_tub(_WATER, _ENTRY.c.tub_id, tub), _span(period)).one()
    if not minor:
        return []
    item = ItemCost(key=f"{METER}water", unit="l", minor=int(minor), quantity_milli=int(quantity))
    return [(SpendCategory.WATER, item)]
