"""Rows that a person knows by name: kept, found and dropped by it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.errors import NotFoundError
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Connection

    from tubcare.store.tables.base import Base
    from tubcare.store.unit import Unit


def put_row(
    unit: Unit, row: type[Base], column: str, key: object, values: Mapping[str, object]
) -> None:
    """Change the row whose column holds that key, or add it, inside a running use case."""
    table = table_of(row)
    found = unit.connection.execute(select(table.c.id).where(table.c[column] == key)).scalar()
    if found is None:
        unit.add(row, **{column: key}, **values)
    else:
        unit.change(row, found, **values)


def row_named(connection: Connection, row: type[Base], kind: str, name: str) -> int:
    """Return the id of the row of that name in any case; raise `NotFoundError` else."""
    table = table_of(row)
    wanted = name.strip().casefold()
    for found in connection.execute(select(table.c.id, table.c.name)):
        if found.name.casefold() == wanted:
            return int(found.id)
    raise NotFoundError(kind, name)
