"""Everything that a logbook holds, for comparing before and after."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.store.unit import TABLES

if TYPE_CHECKING:
    from tubcare.store.store import Store

NOT_FACTS = frozenset({"action", "month_total", "stock", "reminder"})


def facts(store: Store) -> dict[str, list[dict[str, Any]]]:
    """Return the rows of every table of facts."""
    with store.read() as connection:
        return {
            name: [
                dict(row)
                for row in connection.execute(select(table).order_by(table.c.id)).mappings()
            ]
            for name, table in TABLES.items()
            if name not in NOT_FACTS
        }
