"""The single task that the result of an inspection opens."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from sqlalchemy import exists, select

from tubcare.care.model import OnceTrigger, Task
from tubcare.care.plan_card import TaskCard, card_from_data, card_to_data
from tubcare.care.trigger_data import rules_to_data
from tubcare.store.tables import CompletionRow, TaskRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection, Row

    from tubcare.care.model import InspectionResult
    from tubcare.care.plan_card import FollowUp
    from tubcare.store.unit import Unit

NEW_TASK = TaskId(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUpTask:
    """A single task that an inspection opened."""

    id: TaskId
    title: str
    due_on: date


def open_follow_up(
    unit: Unit, inspection: Task, result: InspectionResult, on: date
) -> FollowUpTask | None:
    """Add the single task that a result asks for, None where it asks for none.

    One that an earlier inspection opened and nobody has done yet is not added a second time.
    """
    card = _card(unit.connection, inspection)
    wanted = card.follow_up(result)
    if wanted is None or _open_one(unit.connection, inspection, wanted.title) is not None:
        return None
    task = _task(inspection, wanted, on)
    new_id = unit.add(
        TaskRow,
        tub_id=inspection.tub_id,
        title=task.title,
        category=task.category.value,
        plan=rules_to_data(task),
        card=card_to_data(TaskCard(why=inspection.title, who=card.who, cautions=card.cautions)),
        starts_on=on,
    )
    return FollowUpTask(id=TaskId(new_id), title=task.title, due_on=_due_on(wanted, on))


def move_follow_up(
    unit: Unit, inspection: Task, result: InspectionResult, was: date, on: date
) -> None:
    """Move the task that a result opened when the inspection gets another day.

    One that was done or changed since stays as it is.
    """
    wanted = _card(unit.connection, inspection).follow_up(result)
    if wanted is None:
        return
    found = _open_one(unit.connection, inspection, wanted.title)
    if found is None or found.plan != rules_to_data(_task(inspection, wanted, was)):
        return
    plan = rules_to_data(_task(inspection, wanted, on))
    unit.change(TaskRow, found.id, plan=plan, starts_on=on)


def _task(inspection: Task, wanted: FollowUp, on: date) -> Task:
    """Return the single task that an inspection on a day asks for."""
    return Task(
        id=NEW_TASK,
        tub_id=inspection.tub_id,
        title=wanted.title,
        category=inspection.category,
        triggers=(OnceTrigger(on=_due_on(wanted, on)),),
        starts_on=on,
        no_grace=inspection.no_grace,
        safety=inspection.safety,
    )


def _due_on(wanted: FollowUp, on: date) -> date:
    return on + timedelta(days=wanted.within_days)


def _card(connection: Connection, inspection: Task) -> TaskCard:
    table = table_of(TaskRow)
    data = connection.execute(select(table.c.card).where(table.c.id == inspection.id)).scalar_one()
    return card_from_data(data)


def asks_for_result(card: TaskCard, task: Task) -> bool:
    """Return whether what an inspection found matters for what comes after."""
    return bool(card.follow_ups or task.result_intervals)


def _open_one(
    connection: Connection, inspection: Task, title: str
) -> Row[*tuple[Any, ...]] | None:
    """Return the task (`id`, `plan`) that an inspection opened and nobody has done yet."""
    task, done = table_of(TaskRow), table_of(CompletionRow)
    closed = exists().where(done.c.task_id == task.c.id, done.c.key.is_not(None))
    return connection.execute(
        select(task.c.id, task.c.plan)
        .where(
            task.c.tub_id == inspection.tub_id,
            task.c.title == title,
            task.c.active,
            task.c.template_key.is_(None),
            ~closed,
        )
        .limit(1)
    ).first()
