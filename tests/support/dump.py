"""Everything that a logbook holds, for comparing before and after."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.store.unit import TABLES

if TYPE_CHECKING:
    from tubcare.store.store import Store

NOT_FACTS = frozenset({"action", "month_total", "stock", "reminder"})


Facts = dict[str, list[dict[str, Any]]]
CACHES = ("month_total", "stock")


def everything(store: Store) -> Facts:
    """Return the rows of every table of facts and of every cache."""
    found = facts(store)
    with store.read() as connection:
        for name in CACHES:
            table = TABLES[name]
            rows = connection.execute(select(table).order_by(*table.primary_key)).mappings()
            found[name] = [dict(row) for row in rows]
    return found


def assert_same(found: Facts, wanted: Facts) -> None:
    """Hold two dumps equal, naming the rows that differ."""
    differing = {
        name: (
            [row for row in found[name] if row not in wanted[name]],
            [row for row in wanted[name] if row not in found[name]],
        )
        for name in wanted
        if found[name] != wanted[name]
    }
    assert not differing, differing


def facts(store: Store) -> Facts:
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
