"""One transaction over the logbook: every change of a fact goes through here."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tubcare.errors import NotFoundError
from tubcare.store.journal import Change, Image
from tubcare.store.statements import ROW, RowStatements
from tubcare.store.tables import Base

if TYPE_CHECKING:
    from sqlalchemy import Connection, Table

TABLES: dict[str, Table] = dict(Base.metadata.tables)
_STATEMENTS = {name: RowStatements(table) for name, table in TABLES.items()}


def table_of(row: type[Base]) -> Table:
    """Return the table behind a mapped class."""
    return TABLES[row.__tablename__]


class Unit:
    """Writes facts and keeps the images that take them back.

    `subject` is the thing that the use case is done to, as shown to a person.
    """

    def __init__(self, connection: Connection) -> None:
        self.connection = connection
        self.changes: list[Change] = []
        self.subject = ""

    def add(self, row: type[Base], **values: object) -> int:
        """Insert a row and return its id."""
        known = _STATEMENTS[row.__tablename__]
        filled = known.blank | values
        new_id = self.connection.execute(known.insert, filled).inserted_primary_key
        row_id = int(new_id[0]) if new_id is not None else 0
        self._keep(row.__tablename__, row_id, None, filled | {"id": row_id})
        return row_id

    def add_once(self, row: type[Base], unique: tuple[str, ...], **values: object) -> int | None:
        """Insert a row unless one with the same `unique` columns is there; return its id or None.

        The database decides, so that of two people at the same moment one wins.
        """
        known = _STATEMENTS[row.__tablename__]
        filled = known.blank | values
        statement = known.insert_once(self.connection, unique)
        found = self.connection.execute(statement, filled).scalar()
        if found is None:
            return None
        self._keep(row.__tablename__, int(found), None, filled | {"id": int(found)})
        return int(found)

    def change(self, row: type[Base], row_id: int, **values: object) -> None:
        """Change columns of one row; raise `NotFoundError` when it is gone."""
        table = table_of(row)
        before = self.image(table, row_id)
        after = before | values
        if after == before:
            return
        self.connection.execute(_STATEMENTS[table.name].update, values | {ROW: row_id})
        self._keep(table.name, row_id, before, after)

    def remove(self, row: type[Base], row_id: int) -> None:
        """Delete one row; raise `NotFoundError` when it is gone."""
        table = table_of(row)
        before = self.image(table, row_id)
        self.connection.execute(_STATEMENTS[table.name].delete, {ROW: row_id})
        self._keep(table.name, row_id, before, None)

    def apply(self, change: Change) -> None:
        """Bring a row to `change.after`, whatever it is now."""
        known = _STATEMENTS[change.table]
        before = None if change.before is None else self.image(known.table, change.row_id)
        if change.after is None:
            self.connection.execute(known.delete, {ROW: change.row_id})
        elif change.before is None:
            self.connection.execute(known.insert, change.after)
        else:
            values = {k: v for k, v in change.after.items() if k != "id"}
            self.connection.execute(known.update, values | {ROW: change.row_id})
        self.changes.append(replace(change, before=before))

    def image(self, table: Table, row_id: int) -> Image:
        """Return all columns of one row; raise `NotFoundError` when it is gone."""
        statement = _STATEMENTS[table.name].image
        found = self.connection.execute(statement, {ROW: row_id}).mappings().first()
        if found is None:
            raise NotFoundError(table.name, row_id)
        return dict(found)

    def _keep(self, table: str, row_id: int, before: Image | None, after: Image | None) -> None:
        self.changes.append(Change(table=table, row_id=row_id, before=before, after=after))
