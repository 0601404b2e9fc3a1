"""What finishing a procedure wrote down beside its record: the state that the tub entered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.plan_card import card_from_data
from tubcare.errors import RuleError
from tubcare.store.tables import DoseRow, FillRow, StateChangeRow, TaskRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection, Row

    from tubcare.store.journal import Image
    from tubcare.store.unit import Unit

_CHANGE = table_of(StateChangeRow)


def entered_with(connection: Connection, done: Image) -> int | None:
    """Return the change of state that a completion wrote down, None where it wrote none."""
    task = table_of(TaskRow)
    row = connection.execute(
        select(task.c.tub_id, task.c.card, task.c.title).where(task.c.id == done["task_id"])
    ).one()
    enters = card_from_data(row.card).enters
    if enters is None:
        return None
    found = connection.execute(
        select(_CHANGE.c.id).where(
            _CHANGE.c.tub_id == row.tub_id,
            _CHANGE.c.on_date == done["on_date"],
            _CHANGE.c.state == enters.value,
            _CHANGE.c.note == row.title,
        )
    ).scalar()
    return None if found is None else int(found)


def move_with(unit: Unit, done: Image, on: date) -> None:
    """Move what a completion wrote down beside itself to another day.

    Raises
    ------
    RuleError
        When the states of the tub would no longer follow each other, or the work put something
        into the water at its time.
    """
    _require_no_water(unit.connection, done)
    entered = entered_with(unit.connection, done)
    if entered is not None:
        _require_between(unit.connection, entered, on)
        unit.change(StateChangeRow, entered, on_date=on)


def _require_no_water(connection: Connection, done: Image) -> None:
    for row, what in ((DoseRow, "a dose"), (FillRow, "fresh water")):
        table = table_of(row)
        found = connection.execute(
            select(table.c.id).where(table.c.completion_id == done["id"]).limit(1)
        ).scalar()
        if found is not None:
            raise RuleError(
                f"{what} of {done['on_date']} was written down with it, and readings are judged "
                "by its time; delete this record and write the work down on the right day"
            )


def _require_between(connection: Connection, entered: int, on: date) -> None:
    tub = select(_CHANGE.c.tub_id).where(_CHANGE.c.id == entered).scalar_subquery()
    changes = connection.execute(
        select(_CHANGE.c.id, _CHANGE.c.on_date, _CHANGE.c.state)
        .where(_CHANGE.c.tub_id == tub)
        .order_by(_CHANGE.c.on_date, _CHANGE.c.id)
    ).all()
    at = next(place for place, change in enumerate(changes) if change.id == entered)
    before, after = changes[at - 1] if at else None, changes[at + 1 : at + 2]
    if before is not None and (on, entered) < (before.on_date, before.id):
        raise RuleError(f"the tub {_told(before)}; choose a later day")
    if after and (on, entered) > (after[0].on_date, after[0].id):
        raise RuleError(f"the tub {_told(after[0])}; choose an earlier day")


def _told(change: Row[*tuple[Any, ...]]) -> str:
    return f"has been {change.state.replace('_', ' ')} from {change.on_date} on"
