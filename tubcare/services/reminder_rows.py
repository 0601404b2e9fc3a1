"""Reminders as rows, and when one is free to be shown.

A row is told apart by recipient, task, occurrence and step, never by the time at which it fires,
so that planning twice, a clock set back or a second program cannot double it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from sqlalchemy import and_, or_, tuple_, update

from tubcare.store.tables import ReminderRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import datetime
    from typing import Any

    from sqlalchemy import ColumnElement, Connection, Row, Table


LEASE = timedelta(seconds=60)
# A lease that ends later than this was written before the clock was set back: it is over.
LONGEST_LEASE = timedelta(hours=1)


class State(StrEnum):
    """Where a reminder stands; `SUPERSEDED` gave way to a later one of the same occurrence."""

    PENDING = "pending"
    CLAIMED = "claimed"
    SHOWN = "shown"
    SUPERSEDED = "superseded"
    ACTED = "acted"


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class ReminderKey:
    """One step of one occurrence."""

    task: TaskId
    key: str
    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminder:
    """A reminder and the instant from which it may be shown."""

    key: ReminderKey
    due_at: datetime


def told_columns(table: Table) -> tuple[ColumnElement[Any], ...]:
    """Return the columns from which a reminder is told."""
    columns = table.c
    return (
        columns.task_id,
        columns.key,
        columns.step,
        columns.due_at,
        columns.state,
        columns.lease_until,
    )


def row_values(recipient: str, key: ReminderKey, due_at: datetime) -> dict[str, object]:
    """Return the row of a reminder that was not shown yet."""
    return {
        "recipient": recipient,
        "task_id": key.task,
        "key": key.key,
        "step": key.step,
        "due_at": due_at,
        "state": State.PENDING.value,
    }


def key_of(row: Row[Any]) -> ReminderKey:
    """Return which step of which occurrence a row is for."""
    return ReminderKey(task=TaskId(row.task_id), key=row.key, step=row.step)


def is_free(row: Row[Any], now: datetime) -> bool:
    """Return whether no other device holds the reminder of a row."""
    if row.state == State.PENDING:
        return True
    until: datetime | None = row.lease_until
    return until is None or until <= now or until > now + LONGEST_LEASE


def free_now(now: datetime) -> ColumnElement[bool]:
    """Return the condition under which no device holds a reminder; as `is_free`."""
    table = table_of(ReminderRow)
    return or_(
        table.c.state == State.PENDING.value,
        and_(
            table.c.state == State.CLAIMED.value,
            or_(table.c.lease_until <= now, table.c.lease_until > now + LONGEST_LEASE),
        ),
    )


def set_state(
    connection: Connection,
    recipient: str,
    keys: Collection[ReminderKey],
    *,
    state: State,
    owner: str | None = None,
    until: datetime | None = None,
) -> None:
    """Bring reminders into a state; `owner` and `until` say who claims them how long."""
    if keys:
        connection.execute(
            update(table_of(ReminderRow))
            .where(one_of(recipient, keys))
            .values(state=state.value, owner=owner, lease_until=until)
        )


def one_of(recipient: str, keys: Collection[ReminderKey]) -> ColumnElement[bool]:
    """Return the condition for these reminders of one recipient."""
    table = table_of(ReminderRow)
    return and_(
        table.c.recipient == recipient,
        tuple_(table.c.task_id, table.c.key, table.c.step).in_(
            [(k.task, k.key, k.step) for k in keys]
        ),
    )
