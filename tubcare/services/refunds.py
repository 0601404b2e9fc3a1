"""What stands between an amount and its going: the refunds that name it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.errors import DependentFactError
from tubcare.store.tables import EntryRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from sqlalchemy import Connection


def require_not_refunded(connection: Connection, entry: int, label: str) -> None:
    """Raise `DependentFactError` when a refund names this amount."""
    table = table_of(EntryRow)
    first = connection.execute(
        select(table.c.on_date).where(table.c.refund_of == entry).order_by(table.c.on_date)
    ).scalar()
    if first is not None:
        raise DependentFactError(label, f"the refund of {first}")
