"""What was done or skipped between two days, for the lists that show it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.store.tables import CompletionRow, PersonRow, TaskRow
from tubcare.store.unit import table_of
from tubcare.values import CompletionId, TaskId

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneItem:
    """One closed occurrence, or extra work."""

    completion: CompletionId
    task: TaskId
    title: str
    on: date
    who: str
    skipped: bool
    note: str


def completions(connection: Connection, first: date, last: date) -> tuple[DoneItem, ...]:
    """Return what was done or skipped between two dates, newest first."""
    done, task, person = table_of(CompletionRow), table_of(TaskRow), table_of(PersonRow)
    rows = connection.execute(
        select(
            done.c.id,
            done.c.task_id,
            done.c.on_date,
            done.c.outcome,
            done.c.note,
            task.c.title,
            person.c.name,
        )
        .join(task, task.c.id == done.c.task_id)
        .outerjoin(person, person.c.id == done.c.person_id)
        .where(done.c.on_date >= first, done.c.on_date <= last)
        .order_by(done.c.on_date.desc(), done.c.id.desc())
    )
    return tuple(
        DoneItem(
            completion=CompletionId(row.id),
            task=TaskId(row.task_id),
            title=row.title,
            on=row.on_date,
            who=row.name or "",
            skipped=row.outcome == "skipped",
            note=row.note,
        )
        for row in rows
    )
