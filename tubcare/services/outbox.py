"""Reminders as rows: planned once, claimed by one device at a time, marked when shown.

A row is told apart by recipient, task, occurrence and step, never by the time at which it fires,
so that planning twice, a clock set back or a second program cannot double it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from sqlalchemy import and_, func, insert, or_, select, tuple_, update

from tubcare.services.topics import Topic
from tubcare.store.tables import ReminderRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping
    from datetime import datetime

    from sqlalchemy import ColumnElement, Connection

    from tubcare.services.desk import Desk

LEASE = timedelta(seconds=60)
REMINDER_TOPICS = frozenset({Topic.REMINDERS})
AGAIN = "again"


@dataclass(frozen=True, slots=True, kw_only=True)
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """What planning found out: the next instant to wake at, and what to withdraw."""

    next_at: datetime | None
    withdrawn: tuple[ReminderKey, ...]


def plan_reminders(desk: Desk, recipient: str, wanted: Iterable[Reminder]) -> Planned:
    """Bring the rows of one recipient in line with what is wanted now.

    New steps are added, pending ones moved to their new instant, those of closed occurrences
    superseded. Steps that were shown stay shown. Doing it twice changes nothing.
    """
    table = table_of(ReminderRow)
    by_key = {reminder.key: reminder.due_at for reminder in wanted}
    open_ones = {(k.task, k.key) for k in by_key}
    withdrawn: list[ReminderKey] = []
    with desk.store.write() as unit:
        known: set[ReminderKey] = set()
        rows = unit.connection.execute(
            select(table).where(
                table.c.recipient == recipient,
                or_(
                    table.c.state.in_(("pending", "claimed", "shown")),
                    tuple_(table.c.task_id, table.c.key).in_(sorted(open_ones)),
                ),
            )
        ).all()
        for row in rows:
            key = ReminderKey(task=TaskId(row.task_id), key=row.key, step=row.step)
            known.add(key)
            is_open = (key.task, key.key) in open_ones
            if row.state == "pending" and key in by_key:
                if row.due_at != by_key[key]:
                    _set(unit.connection, recipient, [key], due_at=by_key[key])
            elif row.state == "pending" and not (is_open and key.step.startswith(AGAIN)):
                _set(unit.connection, recipient, [key], state="superseded")
            elif row.state in {"claimed", "shown"} and not is_open:
                _set(unit.connection, recipient, [key], state="acted")
                withdrawn.append(key)
        fresh = [
            {
                "recipient": recipient,
                "task_id": key.task,
                "key": key.key,
                "step": key.step,
                "due_at": due_at,
                "state": "pending",
            }
            for key, due_at in by_key.items()
            if key not in known
        ]
        if fresh:
            unit.connection.execute(insert(table), fresh)
        next_at = unit.connection.execute(
            select(func.min(table.c.due_at)).where(
                table.c.recipient == recipient, table.c.state == "pending"
            )
        ).scalar()
    return Planned(next_at=next_at, withdrawn=tuple(withdrawn))


def claim(
    desk: Desk, recipient: str, owner: str, *, tasks: Collection[TaskId] | None = None
) -> tuple[Reminder, ...]:
    """Claim what is due now for this device; another device gets nothing of it.

    Of several steps of one task only the newest is returned, the others are superseded. A claim
    that was never marked as shown can be claimed again when its lease is over.

    Parameters
    ----------
    tasks
        Only reminders of these tasks; None means all. Quiet hours let urgent tasks alone through.
    """
    table = table_of(ReminderRow)
    now = desk.now()
    ready = and_(
        table.c.recipient == recipient,
        table.c.due_at <= now,
        or_(
            table.c.state == "pending",
            and_(table.c.state == "claimed", table.c.lease_until <= now),
        ),
    )
    if tasks is not None:
        ready = and_(ready, table.c.task_id.in_(list(tasks)))
    with desk.store.write() as unit:
        rows = unit.connection.execute(
            update(table)
            .where(ready)
            .values(state="claimed", owner=owner, lease_until=now + LEASE)
            .returning(table.c.task_id, table.c.key, table.c.step, table.c.due_at)
        ).all()
        newest: dict[TaskId, Reminder] = {}
        passed: list[ReminderKey] = []
        for row in sorted(rows, key=lambda r: (r.due_at, r.step)):
            key = ReminderKey(task=TaskId(row.task_id), key=row.key, step=row.step)
            earlier = newest.get(key.task)
            if earlier is not None:
                passed.append(earlier.key)
            newest[key.task] = Reminder(key=key, due_at=row.due_at)
        if passed:
            _set(unit.connection, recipient, passed, state="superseded")
    return tuple(newest.values())


def mark_shown(desk: Desk, recipient: str, owner: str, keys: Collection[ReminderKey]) -> None:
    """Write down that claimed reminders reached the person."""
    table = table_of(ReminderRow)
    with desk.store.write() as unit:
        unit.connection.execute(
            update(table)
            .where(_one_of(recipient, keys), table.c.owner == owner, table.c.state == "claimed")
            .values(state="shown", shown_at=desk.now())
        )
    desk.announce(REMINDER_TOPICS)


def remind_again(desk: Desk, recipient: str, key: ReminderKey, at: datetime) -> None:
    """Add one more reminder of the same occurrence, such as tomorrow morning."""
    table = table_of(ReminderRow)
    with desk.store.write() as unit:
        count = unit.connection.execute(
            select(func.count()).where(
                table.c.recipient == recipient,
                table.c.task_id == key.task,
                table.c.key == key.key,
                table.c.step.startswith(AGAIN),
            )
        ).scalar_one()
        unit.connection.execute(
            insert(table).values(
                recipient=recipient,
                task_id=key.task,
                key=key.key,
                step=f"{AGAIN}{count + 1}",
                due_at=at,
                state="pending",
            )
        )
    desk.announce(REMINDER_TOPICS)


def states(desk: Desk, recipient: str) -> Mapping[ReminderKey, str]:
    """Return the state of every reminder of one recipient."""
    table = table_of(ReminderRow)
    with desk.read() as connection:
        rows = connection.execute(select(table).where(table.c.recipient == recipient)).all()
    return {
        ReminderKey(task=TaskId(row.task_id), key=row.key, step=row.step): row.state
        for row in rows
    }


def _set(
    connection: Connection, recipient: str, keys: Collection[ReminderKey], **values: object
) -> None:
    connection.execute(
        update(table_of(ReminderRow)).where(_one_of(recipient, keys)).values(values)
    )


def _one_of(recipient: str, keys: Collection[ReminderKey]) -> ColumnElement[bool]:
    table = table_of(ReminderRow)
    return and_(
        table.c.recipient == recipient,
        tuple_(table.c.task_id, table.c.key, table.c.step).in_(
            [(k.task, k.key, k.step) for k in keys]
        ),
    )
