"""Reminders on their way to people: claimed by one device at a time, marked when shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select, tuple_, update

from tubcare.services.reminder_rows import (
    LEASE,
    Reminder,
    ReminderKey,
    State,
    free_now,
    is_free,
    key_of,
    one_of,
    row_values,
    set_state,
    told_columns,
)
from tubcare.services.topics import Topic
from tubcare.store.statements import insert_into
from tubcare.store.tables import ReminderRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping
    from datetime import datetime

    from tubcare.services.desk import Desk

REMINDER_TOPICS = frozenset({Topic.REMINDERS})


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """What may be shown now, and when the next reminder or the next free claim is to come."""

    ready: tuple[Reminder, ...]
    next_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """Reminders that this device alone may show until an instant; not from then on."""

    reminders: tuple[Reminder, ...]
    until: datetime


def waiting(desk: Desk, recipient: str) -> Waiting:
    """Return what is due now and not claimed; only reads."""
    table = table_of(ReminderRow)
    now = desk.clock.now()
    with desk.read() as connection:
        rows = connection.execute(
            select(*told_columns(table)).where(
                table.c.recipient == recipient,
                table.c.state.in_((State.PENDING.value, State.CLAIMED.value)),
            )
        ).all()
    ready = [row for row in rows if row.due_at <= now and is_free(row, now)]
    later = [row.due_at for row in rows if row.due_at > now]
    later += [row.lease_until for row in rows if row.due_at <= now and not is_free(row, now)]
    return Waiting(
        ready=tuple(Reminder(key=key_of(row), due_at=row.due_at) for row in ready),
        next_at=min(later, default=None),
    )


def claim(desk: Desk, recipient: str, owner: str, chosen: Collection[ReminderKey]) -> Claim:
    """Claim reminders for this device; another device gets nothing of them.

    Of several steps of one task only the newest is claimed, what came before it is superseded. A
    claim that is not marked as shown in time is free again.

    Parameters
    ----------
    owner
        A name for the running program, told apart from every other.
    chosen
        Keys out of `waiting`; those that another device was quicker to claim are left out.
    """
    table = table_of(ReminderRow)
    now = desk.clock.now()
    until = now + LEASE
    if not chosen:
        return Claim(reminders=(), until=until)
    keys = frozenset(chosen)
    with desk.store.write() as unit:
        rows = unit.connection.execute(
            select(table)
            .where(
                table.c.recipient == recipient,
                table.c.task_id.in_({key.task for key in keys}),
                table.c.due_at <= now,
                free_now(now),
            )
            .order_by(table.c.task_id, table.c.key, table.c.step)
            .with_for_update()
        ).all()
        free = sorted((Reminder(key=key_of(row), due_at=row.due_at) for row in rows), key=_order)
        newest = {each.key.task: each for each in free if each.key in keys}
        passed = [
            each.key
            for each in free
            if each.key.task in newest and _gives_way(each, newest[each.key.task])
        ]
        taken = [each.key for each in newest.values()]
        set_state(unit.connection, recipient, taken, state=State.CLAIMED, owner=owner, until=until)
        set_state(unit.connection, recipient, passed, state=State.SUPERSEDED)
    return Claim(reminders=tuple(sorted(newest.values(), key=_order)), until=until)


def mark_shown(desk: Desk, recipient: str, owner: str, keys: Collection[ReminderKey]) -> None:
    """Write down that claimed reminders reached the person."""
    table = table_of(ReminderRow)
    with desk.store.write() as unit:
        unit.connection.execute(
            update(table)
            .where(
                one_of(recipient, keys),
                table.c.owner == owner,
                table.c.state == State.CLAIMED.value,
            )
            .values(state=State.SHOWN.value, shown_at=desk.clock.now(), lease_until=None)
        )
    desk.announce(REMINDER_TOPICS)


def remind_again(desk: Desk, recipient: str, again: Collection[ReminderKey], at: datetime) -> None:
    """Add a reminder at an instant the person asked for, and keep still until then.

    Asking twice for the same makes one reminder.
    """
    if not again:
        return
    table = table_of(ReminderRow)
    occurrences = sorted({(key.task, key.key) for key in again})
    values = {"due_at": at, "state": State.PENDING.value, "owner": None, "lease_until": None}
    with desk.store.write() as unit:
        unit.connection.execute(
            update(table)
            .where(
                table.c.recipient == recipient,
                tuple_(table.c.task_id, table.c.key).in_(occurrences),
                table.c.state == State.PENDING.value,
                table.c.due_at < at,
            )
            .values(state=State.SUPERSEDED.value)
        )
        rows = [row_values(recipient, key, at) for key in sorted(again)]
        unit.connection.execute(
            insert_into(table, unit.connection).on_conflict_do_update(
                index_elements=list(table.primary_key.columns), set_=values
            ),
            rows,
        )
    desk.announce(REMINDER_TOPICS)


def states(desk: Desk, recipient: str) -> Mapping[ReminderKey, State]:
    """Return the state of every reminder of one recipient."""
    table = table_of(ReminderRow)
    with desk.read() as connection:
        rows = connection.execute(
            select(*told_columns(table)).where(table.c.recipient == recipient)
        ).all()
    return {key_of(row): State(row.state) for row in rows}


def _order(reminder: Reminder) -> tuple[datetime, ReminderKey]:
    return reminder.due_at, reminder.key


def _gives_way(earlier: Reminder, later: Reminder) -> bool:
    return earlier.key.key == later.key.key and _order(earlier) < _order(later)
