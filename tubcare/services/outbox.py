"""Reminders as rows: planned once, claimed by one device at a time, marked when shown.

A row is told apart by recipient, task, occurrence and step, never by the time at which it fires,
so that planning twice, a clock set back or a second program cannot double it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from sqlalchemy import and_, delete, or_, select, tuple_, update

from tubcare.services.topics import Topic
from tubcare.store.statements import insert_into
from tubcare.store.tables import ReminderRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence
    from datetime import datetime
    from typing import Any

    from sqlalchemy import ColumnElement, Connection, Row, Table

    from tubcare.services.desk import Desk

LEASE = timedelta(seconds=60)
# A lease that ends later than this was written before the clock was set back: it is over.
LONGEST_LEASE = timedelta(hours=1)
REMINDER_TOPICS = frozenset({Topic.REMINDERS})


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
    now = desk.now()
    with desk.read() as connection:
        if _changes(connection, recipient, by_key, keeps, now).is_empty:
            return False
    with desk.store.write() as unit:
        changes = _changes(unit.connection, recipient, by_key, keeps, now)
        _apply(unit.connection, recipient, changes)
    return True


def waiting(desk: Desk, recipient: str) -> Waiting:
    """Return what is due now and not claimed; only reads."""
    table = table_of(ReminderRow)
    now = desk.now()
    with desk.read() as connection:
        rows = connection.execute(
            select(*_told(table)).where(
                table.c.recipient == recipient,
                table.c.state.in_((State.PENDING.value, State.CLAIMED.value)),
            )
        ).all()
    ready = [row for row in rows if row.due_at <= now and _is_free(row, now)]
    later = [row.due_at for row in rows if row.due_at > now]
    later += [row.lease_until for row in rows if row.due_at <= now and not _is_free(row, now)]
    return Waiting(
        ready=tuple(Reminder(key=_key(row), due_at=row.due_at) for row in ready),
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
    now = desk.now()
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
                _free(now),
            )
            .order_by(table.c.task_id, table.c.key, table.c.step)
            .with_for_update()
        ).all()
        free = sorted((Reminder(key=_key(row), due_at=row.due_at) for row in rows), key=_order)
        newest = {each.key.task: each for each in free if each.key in keys}
        passed = [
            each.key
            for each in free
            if each.key.task in newest and _gives_way(each, newest[each.key.task])
        ]
        taken = [each.key for each in newest.values()]
        _set(unit.connection, recipient, taken, state=State.CLAIMED, owner=owner, until=until)
        _set(unit.connection, recipient, passed, state=State.SUPERSEDED)
    return Claim(reminders=tuple(sorted(newest.values(), key=_order)), until=until)


def mark_shown(desk: Desk, recipient: str, owner: str, keys: Collection[ReminderKey]) -> None:
    """Write down that claimed reminders reached the person."""
    table = table_of(ReminderRow)
    with desk.store.write() as unit:
        unit.connection.execute(
            update(table)
            .where(
                _one_of(recipient, keys),
                table.c.owner == owner,
                table.c.state == State.CLAIMED.value,
            )
            .values(state=State.SHOWN.value, shown_at=desk.now(), lease_until=None)
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
        rows = [_row(recipient, key, at) for key in sorted(again)]
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
            select(*_told(table)).where(table.c.recipient == recipient)
        ).all()
    return {_key(row): State(row.state) for row in rows}


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
        select(*_told(table)).where(
            table.c.recipient == recipient,
            table.c.state.in_([state.value for state in State if state is not State.ACTED]),
        )
    ).all()
    known: set[ReminderKey] = set()
    moved: list[Reminder] = []
    gone: list[ReminderKey] = []
    acted: list[ReminderKey] = []
    for row in rows:
        key = _key(row)
        known.add(key)
        if row.state in {State.SHOWN, State.SUPERSEDED}:
            if (key.task, key.key) not in open_ones:
                acted.append(key)
        elif not _is_free(row, now):
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
        select(*_told(table)).where(
            table.c.recipient == recipient,
            table.c.task_id.in_({key.task for key in keys}),
            table.c.key.in_({key.key for key in keys}),
            table.c.state == State.ACTED.value,
        )
    )
    return {_key(row) for row in rows}


def _apply(connection: Connection, recipient: str, changes: _Changes) -> None:
    table = table_of(ReminderRow)
    if changes.gone:
        connection.execute(delete(table).where(_one_of(recipient, changes.gone)))
    _set(connection, recipient, changes.acted, state=State.ACTED)
    for reminder in changes.moved:
        connection.execute(
            update(table).where(_one_of(recipient, [reminder.key])).values(due_at=reminder.due_at)
        )
    if changes.fresh:
        # Another device may plan the same at this moment; its row is as good as this one.
        rows = [_row(recipient, each.key, each.due_at) for each in changes.fresh]
        connection.execute(insert_into(table, connection).on_conflict_do_nothing(), rows)


def _told(table: Table) -> tuple[ColumnElement[Any], ...]:
    columns = table.c
    return (
        columns.task_id,
        columns.key,
        columns.step,
        columns.due_at,
        columns.state,
        columns.lease_until,
    )


def _row(recipient: str, key: ReminderKey, due_at: datetime) -> dict[str, object]:
    return {
        "recipient": recipient,
        "task_id": key.task,
        "key": key.key,
        "step": key.step,
        "due_at": due_at,
        "state": State.PENDING.value,
    }


def _key(row: Row[Any]) -> ReminderKey:
    return ReminderKey(task=TaskId(row.task_id), key=row.key, step=row.step)


def _order(reminder: Reminder) -> tuple[datetime, ReminderKey]:
    return reminder.due_at, reminder.key


def _gives_way(earlier: Reminder, later: Reminder) -> bool:
    return earlier.key.key == later.key.key and _order(earlier) < _order(later)


def _is_free(row: Row[Any], now: datetime) -> bool:
    if row.state == State.PENDING:
        return True
    until: datetime | None = row.lease_until
    return until is None or until <= now or until > now + LONGEST_LEASE


def _free(now: datetime) -> ColumnElement[bool]:
    table = table_of(ReminderRow)
    return or_(
        table.c.state == State.PENDING.value,
        and_(
            table.c.state == State.CLAIMED.value,
            or_(table.c.lease_until <= now, table.c.lease_until > now + LONGEST_LEASE),
        ),
    )


def _set(
    connection: Connection,
    recipient: str,
    keys: Collection[ReminderKey],
    *,
    state: State,
    owner: str | None = None,
    until: datetime | None = None,
) -> None:
    if keys:
        connection.execute(
            update(table_of(ReminderRow))
            .where(_one_of(recipient, keys))
            .values(state=state.value, owner=owner, lease_until=until)
        )


def _one_of(recipient: str, keys: Collection[ReminderKey]) -> ColumnElement[bool]:
    table = table_of(ReminderRow)
    return and_(
        table.c.recipient == recipient,
        tuple_(table.c.task_id, table.c.key, table.c.step).in_(
            [(k.task, k.key, k.step) for k in keys]
        ),
    )
