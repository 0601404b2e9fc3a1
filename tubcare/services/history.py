"""Undo and redo: linear for each person, many levels, also after a restart."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import Select, Table, select, update

from tubcare.errors import DependentFactError, NothingLeftError
from tubcare.services.dependents import describe, require_place, require_unreferenced
from tubcare.services.topics import EVERYTHING
from tubcare.store.journal import Change, change_from_data
from tubcare.store.tables import ActionRow
from tubcare.store.unit import TABLES, table_of

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Row

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit

# Values of caches change without anybody acting; they do not stand in the way of an undo.
_CACHED = {
    "stock_use": frozenset({"cost_minor", "quantity_milli"}),
    "entry": frozenset({"cost_minor"}),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """Something that can be taken back or done again."""

    id: int
    actor: str
    at: datetime
    label: str
    subject: str


def undoable(desk: Desk) -> Action | None:
    """Return the newest action of this person that can be taken back."""
    return _newest(desk, undone=False)


def redoable(desk: Desk) -> Action | None:
    """Return the action that was taken back last."""
    with desk.read() as connection:
        row = connection.execute(
            _own(desk, undone=True).order_by(_actions().c.id).limit(1)
        ).first()
    return None if row is None else _action(row)


def undo(desk: Desk) -> Action:
    """Take back this person's newest action, all of it or nothing.

    Raises
    ------
    NothingLeftError
        When there is nothing to take back.
    DependentFactError
        When a later fact stands on what would go, naming that fact.
    """
    return _move(desk, undone=False)


def redo(desk: Desk) -> Action:
    """Do again what was taken back last; raises like `undo`."""
    return _move(desk, undone=True)


def _move(desk: Desk, *, undone: bool) -> Action:
    table = _actions()
    with desk.write_unremembered(EVERYTHING) as unit:
        newest_first = table.c.id if undone else table.c.id.desc()
        row = unit.connection.execute(
            _own(desk, undone=undone).order_by(newest_first).limit(1)
        ).first()
        if row is None:
            raise NothingLeftError("do again" if undone else "take back")
        changes = [change_from_data(data, TABLES) for data in row.changes]
        steps = changes if undone else [c.inverse() for c in reversed(changes)]
        for step in steps:
            _require_free(unit, step, row.subject, removed=_removed(steps))
            unit.apply(step)
        unit.connection.execute(
            update(table).where(table.c.id == row.id).values(undone=not undone)
        )
    return _action(row)


def _removed(steps: list[Change]) -> frozenset[tuple[str, int]]:
    return frozenset((s.table, s.row_id) for s in steps if s.after is None)


def _require_free(
    unit: Unit, step: Change, label: str, *, removed: frozenset[tuple[str, int]]
) -> None:
    table = TABLES[step.table]
    current = (
        unit.connection.execute(select(table).where(table.c.id == step.row_id)).mappings().first()
    )
    cached = _CACHED.get(step.table, frozenset())
    if step.before is None:
        if current is not None:
            raise DependentFactError(label, describe(unit.connection, table, step.row_id))
        if step.after is not None:
            require_place(unit.connection, table, step.after, label)
        return
    # What was kept by an older version knows nothing of columns that came later.
    before = {k: v for k, v in step.before.items() if k not in cached}
    if {} if current is None else {k: current[k] for k in before} != before:
        raise DependentFactError(label, describe(unit.connection, table, step.row_id))
    if step.after is None:
        require_unreferenced(unit.connection, table, step.row_id, label, removed)
    else:
        require_place(unit.connection, table, step.after, label)


def _actions() -> Table:
    return table_of(ActionRow)


def _own(desk: Desk, *, undone: bool) -> Select[Any]:
    table = _actions()
    return select(table).where(table.c.actor == desk.actor, table.c.undone.is_(undone))


def _newest(desk: Desk, *, undone: bool) -> Action | None:
    with desk.read() as connection:
        row = connection.execute(
            _own(desk, undone=undone).order_by(_actions().c.id.desc()).limit(1)
        ).first()
    return None if row is None else _action(row)


def _action(row: Row[Any]) -> Action:
    return Action(id=row.id, actor=row.actor, at=row.at, label=row.label, subject=row.subject)
