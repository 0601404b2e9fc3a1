"""What is stocked: supplies, what leaves the shelf, what lies on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.errors import InputError, NotFoundError
from tubcare.ledger.categories import SpendCategory
from tubcare.services import fields
from tubcare.services.topics import Topic
from tubcare.store.tables import StockRow, SupplyRow, UseRow
from tubcare.store.unit import table_of
from tubcare.values import SupplyId

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TubId

MAX_QUANTITY_MILLI = 10**9
STOCK_TOPICS = frozenset({Topic.STOCK, Topic.MONEY})


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """Something stocked, with what lies on the shelf. Quantities in thousandths of the unit."""

    id: SupplyId
    name: str
    unit: str
    category: SpendCategory
    low_milli: int | None
    active: bool
    quantity_milli: int
    value_minor: int

    @property
    def is_low(self) -> bool:
        """Whether less lies on the shelf than the person wants there."""
        return self.low_milli is not None and self.quantity_milli < self.low_milli


def supplies(desk: Desk) -> tuple[Supply, ...]:
    """Return every supply with its stock, by name."""
    supply, stock = table_of(SupplyRow), table_of(StockRow)
    statement = (
        select(supply, stock.c.quantity_milli, stock.c.value_minor)
        .outerjoin(stock, stock.c.supply_id == supply.c.id)
        .order_by(supply.c.name)
    )
    with desk.read() as connection:
        rows = connection.execute(statement).all()
    return tuple(
        Supply(
            id=SupplyId(row.id),
            name=row.name,
            unit=row.unit,
            category=SpendCategory(row.category),
            low_milli=row.low_milli,
            active=row.active,
            quantity_milli=row.quantity_milli or 0,
            value_minor=row.value_minor or 0,
        )
        for row in rows
    )


def new_supply(
    desk: Desk, *, name: str, unit: str, category: SpendCategory, low_milli: int | None = None
) -> SupplyId:
    """Add something to stock.

    Raises
    ------
    InputError
        For an empty name or unit, or a name that another supply has.
    """
    with desk.write("add_supply", name, STOCK_TOPICS) as changes:
        _require_free(changes.connection, name)
        return ensure_supply(changes, name=name, unit=unit, category=category, low_milli=low_milli)


def ensure_supply(
    changes: Unit, *, name: str, unit: str, category: SpendCategory, low_milli: int | None = None
) -> SupplyId:
    """Return the supply of that name, adding it when it is new."""
    kept = fields.required_name("supply", name)
    known = find_supply(changes.connection, kept)
    if known is not None:
        return known
    return SupplyId(
        changes.add(
            SupplyRow,
            name=kept,
            unit=fields.required_name("unit", unit, longest=20),
            category=category.value,
            low_milli=low_milli,
        )
    )


def find_supply(connection: Connection, name: str) -> SupplyId | None:
    """Return the supply of that name in any case of letters, None when there is none."""
    table = table_of(SupplyRow)
    wanted = name.strip().casefold()
    for row in connection.execute(select(table.c.id, table.c.name)):
        if row.name.casefold() == wanted:
            return SupplyId(row.id)
    return None


def _require_free(connection: Connection, name: str, *, but: SupplyId | None = None) -> None:
    known = find_supply(connection, name)
    if known not in {None, but}:
        raise InputError("supply", f"there is “{name}” already; choose another name")


def supply_named(connection: Connection, name: str) -> SupplyId:
    """Return the supply of that name; raise `NotFoundError` when there is none."""
    found = find_supply(connection, name)
    if found is None:
        raise NotFoundError("supply", name)
    return found


def change_supply(desk: Desk, supply: Supply) -> None:
    """Keep a supply's name, unit, category and low mark as given.

    Raises
    ------
    InputError, OutOfRangeError
        For an empty name or unit, a name that another supply has, or a mark that cannot be right.
    """
    name = fields.required_name("supply", supply.name)
    if supply.low_milli is not None:
        fields.quantity("low_milli", supply.low_milli, 0, MAX_QUANTITY_MILLI)
    with desk.write("change_supply", supply.name, STOCK_TOPICS) as unit:
        _require_free(unit.connection, name, but=supply.id)
        unit.change(
            SupplyRow,
            supply.id,
            name=name,
            unit=fields.required_name("unit", supply.unit, longest=20),
            category=supply.category.value,
            low_milli=supply.low_milli,
            active=supply.active,
        )


def count_stock(desk: Desk, supply: SupplyId, *, counted_milli: int, on: date) -> int:
    """Write down what a stock-take found; return the difference that was booked, in thousandths.

    Raises
    ------
    OutOfRangeError
        For a negative or absurd quantity.
    """
    fields.quantity("counted_milli", counted_milli, 0, MAX_QUANTITY_MILLI)
    with desk.write("count_stock", _name(desk, supply), STOCK_TOPICS) as unit:
        row = unit.add(
            UseRow,
            on_date=fields.day("date", on),
            kind="stock_take",
            supply_id=supply,
            quantity_milli=0,
            counted_milli=counted_milli,
        )
    # The replay of the whole supply says what was missing at the end of that day.
    use = table_of(UseRow)
    with desk.read() as connection:
        return int(
            connection.execute(select(use.c.quantity_milli).where(use.c.id == row)).scalar_one()
        )


def throw_away(desk: Desk, supply: SupplyId, *, quantity_milli: int, on: date) -> None:
    """Write down that stock expired or was thrown away.

    Raises
    ------
    OutOfRangeError
        For a quantity that is not positive or absurd.
    """
    fields.quantity("quantity_milli", quantity_milli, 1, MAX_QUANTITY_MILLI)
    with desk.write("throw_away", _name(desk, supply), STOCK_TOPICS) as unit:
        unit.add(
            UseRow,
            on_date=fields.day("date", on),
            kind="expired",
            supply_id=supply,
            quantity_milli=quantity_milli,
        )


def use_up(
    desk: Desk,
    supply: SupplyId,
    *,
    quantity_milli: int,
    on: date,
    tub: TubId | None = None,
    note: str = "",
) -> None:
    """Write down that stock was used outside any task.

    Raises
    ------
    OutOfRangeError
        For a quantity that is not positive or absurd.
    """
    fields.quantity("quantity_milli", quantity_milli, 1, MAX_QUANTITY_MILLI)
    with desk.write("use_stock", _name(desk, supply), STOCK_TOPICS) as unit:
        unit.add(
            UseRow,
            on_date=fields.day("date", on),
            kind="used",
            supply_id=supply,
            quantity_milli=quantity_milli,
            tub_id=tub,
            note=fields.note_text(note),
        )


def _name(desk: Desk, supply: SupplyId) -> str:
    table = table_of(SupplyRow)
    with desk.read() as connection:
        found = connection.execute(select(table.c.name).where(table.c.id == supply)).scalar()
    if found is None:
        raise NotFoundError("supply", supply)
    return str(found)
