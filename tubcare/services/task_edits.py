"""Changing the care plan by hand: adding, changing, dropping and bringing back a task."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.model import Category, Task
from tubcare.care.plan_card import EMPTY_CARD, TaskCard, card_from_data, card_to_data
from tubcare.care.trigger_data import rules_from_data, rules_to_data
from tubcare.errors import RuleError
from tubcare.services import fields
from tubcare.services.topics import Topic
from tubcare.store.tables import PlanDropRow, TaskRow, TaskSupplyRow, TubRow
from tubcare.store.unit import table_of
from tubcare.values import SupplyId, TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.services.tasks import TaskDetail
    from tubcare.store.journal import Image
    from tubcare.store.unit import Unit

TASK_TOPICS = frozenset({Topic.TASKS, Topic.UPKEEP})
NEW_TASK = TaskId(0)
MAX_MINOR = 10**12
MAX_QUANTITY_MILLI = 10**9
MOST_STEPS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskDraft:
    """A task as it is to be kept.

    `rules` are as `tubcare.care.trigger_data` writes them; `supplies` maps each to thousandths of
    its unit, None leaves them as they are.
    """

    tub: TubId
    title: str
    category: Category
    rules: Mapping[str, Any]
    starts_on: date
    card: TaskCard = EMPTY_CARD
    usual_minor: int | None = None
    first_due_on: date | None = None
    supplies: Mapping[SupplyId, int] | None = None
    reminds: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class DroppedTask:
    """A task that was taken out of the plan and can be brought back."""

    id: TaskId
    title: str
    category: Category
    tub: TubId
    tub_name: str


def draft_of(detail: TaskDetail) -> TaskDraft:
    """Return a task as it is kept now, as the start of a change."""
    return TaskDraft(
        tub=detail.tub,
        title=detail.title,
        category=detail.category,
        rules=rules_to_data(detail.task),
        starts_on=detail.task.starts_on,
        card=detail.card,
        usual_minor=detail.usual_minor,
        first_due_on=detail.task.first_due_on,
        supplies={each.supply: each.quantity_milli for each in detail.supplies},
        reminds=detail.reminds,
    )


def task_from(draft: TaskDraft, task: TaskId = NEW_TASK) -> Task:
    """Return the task that a draft describes.

    Raises
    ------
    InputError, OutOfRangeError
        Naming the field, or the part of a rule, that cannot be used.
    """
    day = fields.day("starts on", draft.starts_on)
    return Task(
        id=task,
        tub_id=draft.tub,
        title=fields.required_name("title", draft.title, longest=fields.MAX_TITLE),
        category=draft.category,
        starts_on=day,
        first_due_on=draft.first_due_on,
        **rules_from_data(draft.rules, starts_on=day),
    )


def add_task(desk: Desk, draft: TaskDraft) -> TaskId:
    """Add a task of the person's own; raises like `task_from`."""
    values = _values(draft)
    with desk.write("add_task", values["title"], TASK_TOPICS) as unit:
        task = TaskId(unit.add(TaskRow, **values))
        _keep_supplies(unit, task, draft.supplies or {})
    return task


def change_task(desk: Desk, task: TaskId, draft: TaskDraft, *, revision: int) -> None:
    """Keep a task as given; one from the templates becomes the person's own.

    Raises
    ------
    RuleError
        When somebody else changed it since `revision` was read.
    InputError, OutOfRangeError
        As `task_from`.
    """
    values = _values(draft)
    with desk.write("change_task", values["title"], TASK_TOPICS) as unit:
        current = unit.image(table_of(TaskRow), task)
        if current["revision"] != revision:
            raise RuleError("somebody else changed this task meanwhile; look at it again")
        changed = _differs(current, values)
        if draft.supplies is not None:
            changed = _keep_supplies(unit, task, draft.supplies) or changed
        if changed:
            # Without what it was drawn with, a redrawn plan leaves it alone.
            unit.change(TaskRow, task, **values, drawn=None, revision=revision + 1)


def drop_task(desk: Desk, task: TaskId) -> None:
    """Take a task out of the plan; what was done stays on record, and it can be brought back."""
    with desk.read() as connection:
        table = table_of(TaskRow)
        title = connection.execute(select(table.c.title).where(table.c.id == task)).scalar()
    with desk.write("drop_task", title or "", TASK_TOPICS) as unit:
        image = unit.image(table_of(TaskRow), task)
        unit.change(TaskRow, task, active=False)
        if image["template_key"]:
            unit.add_once(
                PlanDropRow,
                ("tub_id", "template_key"),
                tub_id=image["tub_id"],
                template_key=image["template_key"],
            )


def dropped_tasks(desk: Desk) -> tuple[DroppedTask, ...]:
    """Return what was taken out of the plan, by tub and title."""
    table, tub = table_of(TaskRow), table_of(TubRow)
    with desk.read() as connection:
        rows = connection.execute(
            select(table.c.id, table.c.title, table.c.category, table.c.tub_id, tub.c.name)
            .join(tub, tub.c.id == table.c.tub_id)
            .where(table.c.active.is_(False))
            .order_by(tub.c.name, table.c.title, table.c.id)
        ).all()
    return tuple(
        DroppedTask(
            id=TaskId(row.id),
            title=row.title,
            category=Category(row.category),
            tub=TubId(row.tub_id),
            tub_name=row.name,
        )
        for row in rows
    )


def bring_back(desk: Desk, task: TaskId) -> str:
    """Put a dropped task back into the plan with its history; return its title."""
    table, drop = table_of(TaskRow), table_of(PlanDropRow)
    with desk.read() as connection:
        title = connection.execute(select(table.c.title).where(table.c.id == task)).scalar()
    with desk.write("bring_back", title or "", TASK_TOPICS) as unit:
        image = unit.image(table, task)
        unit.change(TaskRow, task, active=True)
        dropped = unit.connection.execute(
            select(drop.c.id).where(
                drop.c.tub_id == image["tub_id"], drop.c.template_key == image["template_key"]
            )
        ).scalar()
        if dropped is not None:
            unit.remove(PlanDropRow, dropped)
    return title or ""


def _values(draft: TaskDraft) -> dict[str, Any]:
    built = task_from(draft)
    if draft.usual_minor is not None:
        fields.quantity("usual_minor", draft.usual_minor, 0, MAX_MINOR)
    fields.quantity("steps", len(draft.card.steps), 0, MOST_STEPS)
    for quantity in (draft.supplies or {}).values():
        fields.quantity("quantity_milli", quantity, 1, MAX_QUANTITY_MILLI)
    return {
        "tub_id": draft.tub,
        "title": built.title,
        "category": draft.category.value,
        "plan": rules_to_data(built),
        "card": card_to_data(draft.card),
        "starts_on": built.starts_on,
        "first_due_on": draft.first_due_on,
        "usual_minor": draft.usual_minor,
        "reminds": draft.reminds,
    }


def _differs(current: Image, values: Mapping[str, Any]) -> bool:
    """Return whether a draft says something else than what is kept; defaults may be left out."""
    read = {"plan", "card"}
    return any(current[name] != value for name, value in values.items() if name not in read) or (
        _read(current) != _read(values)
    )


def _read(values: Mapping[str, Any]) -> tuple[object, TaskCard]:
    rules = rules_from_data(values["plan"], starts_on=values["starts_on"])
    return rules, card_from_data(values["card"])


def _keep_supplies(unit: Unit, task: TaskId, wanted: Mapping[SupplyId, int]) -> bool:
    """Make the usual supplies of a task those given; return whether anything changed."""
    link = table_of(TaskSupplyRow)
    rows = unit.connection.execute(select(link).where(link.c.task_id == task)).all()
    known = {SupplyId(row.supply_id): (row.id, row.quantity_milli) for row in rows}
    before = len(unit.changes)
    for supply, (row_id, quantity) in known.items():
        if supply not in wanted:
            unit.remove(TaskSupplyRow, row_id)
        elif quantity != wanted[supply]:
            unit.change(TaskSupplyRow, row_id, quantity_milli=wanted[supply])
    for supply, quantity in wanted.items():
        if supply not in known:
            unit.add(TaskSupplyRow, task_id=task, supply_id=supply, quantity_milli=quantity)
    return len(unit.changes) > before
