"""What must always hold in a logbook's money."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import func, select

from tubcare.ledger.stock import replay
from tubcare.services.stock_cache import read_facts
from tubcare.services.totals_cache import totals_from_facts
from tubcare.store.tables import EntryRow, MonthTotalRow, StockRow, SupplyRow, UseRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.store.store import Store


def assert_books_hold(store: Store) -> None:
    """Hold the caches against a rebuild, and money paid for stock against where it went."""
    with store.read() as connection:
        _assert_totals(connection)
        supply = table_of(SupplyRow)
        for supply_id in connection.execute(select(supply.c.id)).scalars().all():
            _assert_stock(connection, supply_id)


def _assert_totals(connection: Connection) -> None:
    table = table_of(MonthTotalRow)
    kept = {
        (row.view, row.month, row.category, row.task_id, row.tub_id): [row.minor, row.entries]
        for row in connection.execute(select(table))
    }
    assert kept == totals_from_facts(connection)


def _assert_stock(connection: Connection, supply: int) -> None:
    facts = read_facts(connection, supply)
    result = replay(facts)
    stock, use, entry = table_of(StockRow), table_of(UseRow), table_of(EntryRow)
    row = connection.execute(select(stock).where(stock.c.supply_id == supply)).first()
    if row is None:
        assert not facts
        return
    assert (row.quantity_milli, row.value_minor) == (
        result.state.quantity_milli,
        result.state.value_minor,
    )
    used = connection.execute(
        select(func.coalesce(func.sum(use.c.cost_minor), 0)).where(use.c.supply_id == supply)
    ).scalar_one()
    paid, besides = connection.execute(
        select(
            func.coalesce(func.sum(entry.c.minor), 0),
            func.coalesce(func.sum(entry.c.cost_minor), 0),
        ).where(entry.c.supply_id == supply)
    ).one()
    assert int(paid) == int(used) + int(besides) + row.value_minor
