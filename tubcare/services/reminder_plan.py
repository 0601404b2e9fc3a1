"""Brings the rows of reminders in line with what is due; writes only where something changed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import delete, select, update

from tubcare.services.reminder_rows import (
    Reminder,
    ReminderKey,
    State,
    is_free,
    key_of,
    one_of,
    row_values,
    set_state,
    told_columns,
)
from tubcare.store.statements import insert_into
from tubcare.store.tables import ReminderRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk


def plan_reminders(
    desk: Desk,
    recipient: str,
    wanted: Collection[Reminder],
    keeps: Callable[[Reminder], bool],
) -> bool:
    """Bring the rows of one recipient in line with what is wanted now; return whether it wrote.

    New steps are added, pending ones moved to their new instant or taken away. Steps that were
    shown stay shown, also when their occurrence closes and opens again. Doing it twice writes
    nothing.

    Parameters
    ----------
    wanted
        Every step of every open occurrence, up to a horizon.
    keeps
        Says of a row that is not wanted whether it stays, such as what a person asked for.
    """
    by_key = {reminder.key: reminder.due_at for reminder in wanted}
    now = desk.clock.now()
    with desk.read() as connection:
        if _changes(connection, recipient, by_key, keeps, now).is_empty:
            return False
    with desk.store.write() as unit:
        changes = _changes(unit.connection, recipient, by_key, keeps, now)
        _apply(unit.connection, recipient, changes)
    return True


@dataclass(frozen=True, slots=True, kw_only=True)
class _Changes:
    fresh: Sequence[Reminder]
    moved: Sequence[Reminder]
    gone: Sequence[ReminderKey]
    acted: Sequence[ReminderKey]

    @property
    def is_empty(self) -> bool:
        return not (self.fresh or self.moved or self.gone or self.acted)


def _changes(
    connection: Connection,
    recipient: str,
    by_key: Mapping[ReminderKey, datetime],
    keeps: Callable[[Reminder], bool],
    now: datetime,
) -> _Changes:
    table = table_of(ReminderRow)
    open_ones = {(key.task, key.key) for key in by_key}
    rows = connection.execute(
        select(*told_columns(table)).where(
            table.c.recipient == recipient,
            table.c.state.in_([state.value for state in State if state is not State.ACTED]),
        )
    ).all()
    known: set[ReminderKey] = set()
    moved: list[Reminder] = []
    gone: list[ReminderKey] = []
    acted: list[ReminderKey] = []
    for row in rows:
        key = key_of(row)
        known.add(key)
        if row.state in {State.SHOWN, State.SUPERSEDED}:
            if (key.task, key.key) not in open_ones:
                acted.append(key)
        elif not is_free(row, now):
            continue
        elif key not in by_key:
            if not keeps(Reminder(key=key, due_at=row.due_at)):
                gone.append(key)
        elif row.due_at != by_key[key]:
            moved.append(Reminder(key=key, due_at=by_key[key]))
    fresh = [key for key in by_key if key not in known]
    shown_before = _acted_among(connection, recipient, fresh)
    return _Changes(
        fresh=[Reminder(key=k, due_at=by_key[k]) for k in sorted(fresh) if k not in shown_before],
        moved=moved,
        gone=gone,
        acted=acted,
    )


def _acted_among(
    connection: Connection, recipient: str, keys: Collection[ReminderKey]
) -> set[ReminderKey]:
    """Return what was shown for an occurrence that closed and, by undo, opened again."""
    if not keys:
        return set()
    table = table_of(ReminderRow)
    rows = connection.execute(
        select(*told_columns(table)).where(
            table.c.recipient == recipient,
            table.c.task_id.in_({key.task for key in keys}),
            table.c.key.in_({key.key for key in keys}),
            table.c.state == State.ACTED.value,
        )
    )
    return {key_of(row) for row in rows}


def _apply(connection: Connection, recipient: str, changes: _Changes) -> None:
    table = table_of(ReminderRow)
    if changes.gone:
        connection.execute(delete(table).where(one_of(recipient, changes.gone)))
    set_state(connection, recipient, changes.acted, state=State.ACTED)
    for reminder in changes.moved:
        connection.execute(
            update(table).where(one_of(recipient, [reminder.key])).values(due_at=reminder.due_at)
        )
    if changes.fresh:
        # Another device may plan the same at this moment; its row is as good as this one.
        rows = [row_values(recipient, each.key, each.due_at) for each in changes.fresh]
        connection.execute(insert_into(table, connection).on_conflict_do_nothing(), rows)
