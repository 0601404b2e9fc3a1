"""What stands on a fact, and what a fact stands on: both must hold when one comes or goes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import Column, Table, UniqueConstraint, or_, select

from tubcare.errors import DependentFactError
from tubcare.store.tables import CompletionRow, PutOffRow, StateChangeRow, StepTickRow, TaskRow
from tubcare.store.unit import TABLES, table_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import ColumnElement, Connection

    from tubcare.store.journal import Image

RowName = tuple[str, int]
NOTHING: frozenset[RowName] = frozenset()
KEYED = (CompletionRow, PutOffRow, StepTickRow)


def keys_of(table: str, row_id: int) -> str | None:
    """Return the occurrence key that a fact opens, None when it opens none."""
    if table == CompletionRow.__tablename__:
        return f"done:{row_id}"
    if table == StateChangeRow.__tablename__:
        return f"open:{row_id}"
    if table == TaskRow.__tablename__:
        return f"start:{row_id}"
    return None


def has_key(table: Table, key: str) -> ColumnElement[bool]:
    """Return the condition that a row names that key, with or without the date of a rule."""
    return or_(table.c.key == key, table.c.key.like(f"{key}@%"))


def require_unreferenced(
    connection: Connection,
    table: Table,
    row_id: int,
    label: str,
    going: frozenset[RowName] = NOTHING,
) -> None:
    """Raise `DependentFactError`, naming it, when a fact that stays stands on this one.

    `going` are the facts that go in the same step.
    """
    for other, column in _referring(table):
        for found in connection.execute(select(other.c.id).where(column == row_id)).scalars():
            if (other.name, found) not in going:
                raise DependentFactError(label, describe(connection, other, found))
    if table.name == StepTickRow.__tablename__:
        _require_still_open(connection, row_id, label)
    key = keys_of(table.name, row_id)
    if key is None:
        return
    for row in KEYED:
        keyed = table_of(row)
        for found in connection.execute(select(keyed.c.id).where(has_key(keyed, key))).scalars():
            if (keyed.name, found) not in going:
                raise DependentFactError(label, describe(connection, keyed, found))


def _require_still_open(connection: Connection, tick: int, label: str) -> None:
    """Raise `DependentFactError` when the occurrence of a ticked step is closed."""
    step, done = table_of(StepTickRow), table_of(CompletionRow)
    closed = connection.execute(
        select(done.c.id)
        .join(step, (step.c.task_id == done.c.task_id) & (step.c.key == done.c.key))
        .where(step.c.id == tick)
    ).scalar()
    if closed is not None:
        raise DependentFactError(label, describe(connection, done, closed))


def require_place(connection: Connection, table: Table, image: Image, label: str) -> None:
    """Raise `DependentFactError` when a row has no place to come back to.

    What it names may be gone since, or another row may hold what there can be only one of.
    """
    for column in table.columns:
        for key in column.foreign_keys:
            wanted, target = image.get(column.name), key.column
            if wanted is None:
                continue
            if connection.execute(select(target).where(target == wanted)).first() is None:
                raise DependentFactError(label, f"the {_plain(target.table.name)} that went since")
    for constraint in table.constraints:
        if isinstance(constraint, UniqueConstraint):
            _require_alone(connection, table, constraint, image, label)


def _require_alone(
    connection: Connection,
    table: Table,
    constraint: UniqueConstraint,
    image: Mapping[str, Any],
    label: str,
) -> None:
    columns = list(constraint.columns)
    if any(image[column.name] is None for column in columns):
        return
    same = [column == image[column.name] for column in columns]
    other = connection.execute(select(table.c.id).where(*same, table.c.id != image["id"])).scalar()
    if other is not None:
        raise DependentFactError(label, describe(connection, table, other))


def describe(connection: Connection, table: Table, row_id: int) -> str:
    """Return a fact in a few words, such as: completion “Skim” of 2026-05-01."""
    row = connection.execute(select(table).where(table.c.id == row_id)).mappings().first()
    if row is None:
        return f"what was changed since in {_plain(table.name)}"
    title = row.get("name") or row.get("title")
    if row.get("task_id") is not None:
        tasks = table_of(TaskRow)
        title = connection.execute(
            select(tasks.c.title).where(tasks.c.id == row["task_id"])
        ).scalar()
    on = row.get("on_date") or row.get("made_on")
    words = [_plain(table.name), f"“{title}”" if title else "", f"of {on}" if on else ""]
    return " ".join(word for word in words if word)


def _referring(table: Table) -> list[tuple[Table, Column[Any]]]:
    return [
        (other, column)
        for other in TABLES.values()
        if "id" in other.c
        for column in other.columns
        if any(fk.column.table is table for fk in column.foreign_keys)
    ]


def _plain(table: str) -> str:
    return table.replace("_", " ")
