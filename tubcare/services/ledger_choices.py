"""What an amount can be said to belong to, and what was bought before."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from tubcare.ledger.categories import SpendCategory
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.supplies import Supply, supplies
from tubcare.store.tables import EntryRow, TaskRow, TubRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk

RECENT_DAYS = 800
RECENT_COUNT = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskChoice:
    """A task of the plan that an amount can belong to."""

    id: TaskId
    title: str
    tub: TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerChoices:
    """What a ledger offers to choose from.

    `recent` maps what was paid for before to its newest kind of spending.
    """

    today: date
    first: date
    tubs: Mapping[TubId, str]
    tasks: tuple[TaskChoice, ...]
    supplies: tuple[Supply, ...]
    recent: Mapping[str, SpendCategory]


def ledger_choices(desk: Desk) -> LedgerChoices:
    """Return what there is to choose from; `first` is the oldest day with an amount, or today."""
    tub, task, entry = table_of(TubRow), table_of(TaskRow), table_of(EntryRow)
    stocked = supplies(desk)
    with desk.read() as connection:
        today = desk.today(setting(connection, HOME_ZONE) or "UTC")
        names = connection.execute(select(tub.c.id, tub.c.name).order_by(tub.c.id)).all()
        tasks = connection.execute(
            select(task.c.id, task.c.title, task.c.tub_id)
            .where(task.c.active.is_(True))
            .order_by(task.c.title, task.c.id)
        ).all()
        oldest: date | None = connection.execute(select(func.min(entry.c.on_date))).scalar()
        recent = _recent(connection, today)
    return LedgerChoices(
        today=today,
        first=min(oldest or today, today),
        tubs={TubId(row.id): row.name for row in names},
        tasks=tuple(
            TaskChoice(id=TaskId(row.id), title=row.title, tub=TubId(row.tub_id)) for row in tasks
        ),
        supplies=tuple(one for one in stocked if one.active),
        recent=recent,
    )


def _recent(connection: Connection, today: date) -> dict[str, SpendCategory]:
    entry = table_of(EntryRow)
    rows = connection.execute(
        select(entry.c.note, entry.c.category)
        .where(
            entry.c.kind == "direct",
            entry.c.on_date >= today - timedelta(days=RECENT_DAYS),
            entry.c.note != "",
        )
        .order_by(entry.c.on_date.desc(), entry.c.id.desc())
        .limit(RECENT_COUNT)
    )
    found: dict[str, SpendCategory] = {}
    for row in rows:
        found.setdefault(row.note.split("\n")[0], SpendCategory(row.category))
    return found
