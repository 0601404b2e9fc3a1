"""Statements about single rows, each built once: building one costs several times its run."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from sqlalchemy import bindparam, delete, insert, select, update
from sqlalchemy.dialects import sqlite
from sqlalchemy.sql.schema import ScalarElementColumnDefault

if TYPE_CHECKING:
    from sqlalchemy import (
        ColumnElement,
        Connection,
        Delete,
        Insert,
        Select,
        Table,
        Update,
    )
    from sqlalchemy.dialects import postgresql
    from sqlalchemy.sql.dml import ReturningInsert

    _AnyInsert = sqlite.Insert | postgresql.Insert

#: Name of the parameter that tells which row a statement is about.
ROW = "row_id"


class RowStatements:
    """What is asked of the rows of one table that has an `id`."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self._insert_once: dict[tuple[str, tuple[str, ...]], ReturningInsert[Any]] = {}

    @cached_property
    def blank(self) -> dict[str, Any]:
        """What each column holds when nothing is said about it; the id is left out."""
        return {
            column.name: default.arg
            if isinstance(default := column.default, ScalarElementColumnDefault)
            else None
            for column in self.table.columns
            if column.name != "id"
        }

    @cached_property
    def insert(self) -> Insert:
        """Inserts a row."""
        return insert(self.table)

    @cached_property
    def image(self) -> Select[Any]:
        """Reads all columns of the row `ROW`."""
        return select(self.table).where(self.table.c.id == bindparam(ROW))

    @cached_property
    def update(self) -> Update:
        """Sets the columns that are given in the row `ROW`."""
        return update(self.table).where(self.table.c.id == bindparam(ROW))

    @cached_property
    def delete(self) -> Delete:
        """Deletes the row `ROW`."""
        return delete(self.table).where(self.table.c.id == bindparam(ROW))

    def insert_once(self, connection: Connection, unique: tuple[str, ...]) -> ReturningInsert[Any]:
        """Return what inserts a row and returns its id, or nothing where `unique` is taken."""
        key = (connection.dialect.name, unique)
        if key not in self._insert_once:
            self._insert_once[key] = (
                insert_into(self.table, connection)
                .on_conflict_do_nothing(index_elements=unique)
                .returning(self.table.c.id)
            )
        return self._insert_once[key]


class Upsert:
    """Inserts rows, or brings those that are there in line; built once for each database.

    Parameters
    ----------
    table
        Where the rows lie; what tells them apart is its primary key.
    replaced
        Columns that take the new value.
    summed
        Columns to which the new value is added.
    """

    def __init__(
        self, table: Table, *, replaced: tuple[str, ...] = (), summed: tuple[str, ...] = ()
    ) -> None:
        self._table = table
        self._replaced = replaced
        self._summed = summed
        self._built: dict[str, _AnyInsert] = {}

    def on(self, connection: Connection) -> _AnyInsert:
        """Return the statement as the connection's database writes it."""
        name = connection.dialect.name
        if name not in self._built:
            fresh = insert_into(self._table, connection)
            new, old = fresh.excluded, self._table.c
            values: dict[str, ColumnElement[Any]] = {c: new[c] for c in self._replaced}
            values |= {c: old[c] + new[c] for c in self._summed}
            self._built[name] = fresh.on_conflict_do_update(
                index_elements=list(self._table.primary_key.columns), set_=values
            )
        return self._built[name]


def insert_into(table: Table, connection: Connection) -> _AnyInsert:
    """Return an insert that can say what happens when the row is there already."""
    if connection.dialect.name != "postgresql":
        return sqlite.insert(table)
    from sqlalchemy.dialects import postgresql  # noqa: PLC0415  slow to import, only for a server

    return postgresql.insert(table)
