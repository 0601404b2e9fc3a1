"""One transaction over the logbook: every change of a fact goes through here."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from sqlalchemy import delete, insert, select, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.sql.schema import ScalarElementColumnDefault

from tubcare.errors import NotFoundError
from tubcare.store.journal import Change, Image
from tubcare.store.tables import Base

if TYPE_CHECKING:
    from sqlalchemy import Connection, Table

TABLES: dict[str, Table] = dict(Base.metadata.tables)


def table_of(row: type[Base]) -> Table:
    """Return the table behind a mapped class."""
    return TABLES[row.__tablename__]


class Unit:
    """Writes facts and keeps the images that take them back."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection
        self.changes: list[Change] = []

    def add(self, row: type[Base], **values: object) -> int:
        """Insert a row and return its id."""
        table = table_of(row)
        filled = _with_defaults(table, values)
        new_id = self.connection.execute(insert(table).values(filled)).inserted_primary_key
        row_id = int(new_id[0]) if new_id is not None else 0
        after = filled | {"id": row_id}
        self.changes.append(Change(table=table.name, row_id=row_id, before=None, after=after))
        return row_id

    def add_once(self, row: type[Base], unique: tuple[str, ...], **values: object) -> int | None:
        """Insert a row unless one with the same `unique` columns is there; return its id or None.

        The database decides, so that of two people at the same moment one wins.
        """
        table = table_of(row)
        filled = _with_defaults(table, values)
        dialect = postgresql if self.connection.dialect.name == "postgresql" else sqlite
        statement = dialect.insert(table).values(filled)
        found = self.connection.execute(
            statement.on_conflict_do_nothing(index_elements=unique).returning(table.c.id)
        ).scalar()
        if found is None:
            return None
        after = filled | {"id": int(found)}
        self.changes.append(Change(table=table.name, row_id=int(found), before=None, after=after))
        return int(found)

    def change(self, row: type[Base], row_id: int, **values: object) -> None:
        """Change columns of one row; raise `NotFoundError` when it is gone."""
        table = table_of(row)
        before = self.image(table, row_id)
        after = before | values
        if after == before:
            return
        self.connection.execute(update(table).where(table.c.id == row_id).values(values))
        self.changes.append(Change(table=table.name, row_id=row_id, before=before, after=after))

    def remove(self, row: type[Base], row_id: int) -> None:
        """Delete one row; raise `NotFoundError` when it is gone."""
        table = table_of(row)
        before = self.image(table, row_id)
        self.connection.execute(delete(table).where(table.c.id == row_id))
        self.changes.append(Change(table=table.name, row_id=row_id, before=before, after=None))

    def apply(self, change: Change) -> None:
        """Bring a row to `change.after`, whatever it is now."""
        table = TABLES[change.table]
        before = None if change.before is None else self.image(table, change.row_id)
        if change.after is None:
            self.connection.execute(delete(table).where(table.c.id == change.row_id))
        elif change.before is None:
            self.connection.execute(insert(table).values(change.after))
        else:
            values = {k: v for k, v in change.after.items() if k != "id"}
            self.connection.execute(
                update(table).where(table.c.id == change.row_id).values(values)
            )
        self.changes.append(replace(change, before=before))

    def image(self, table: Table, row_id: int) -> Image:
        """Return all columns of one row; raise `NotFoundError` when it is gone."""
        found = (
            self.connection.execute(select(table).where(table.c.id == row_id)).mappings().first()
        )
        if found is None:
            raise NotFoundError(table.name, row_id)
        return dict(found)


def _with_defaults(table: Table, values: dict[str, object]) -> dict[str, Any]:
    filled: dict[str, Any] = {}
    for column in table.columns:
        if column.name in values:
            filled[column.name] = values[column.name]
        elif isinstance(column.default, ScalarElementColumnDefault):
            filled[column.name] = column.default.arg
        elif column.name != "id":
            filled[column.name] = None
    return filled
