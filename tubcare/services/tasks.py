"""The care plan as it stands: its tasks, and one task whole."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.care.model import Category, Task
from tubcare.care.occurrences import occurrence
from tubcare.care.plan_card import TaskCard, card_from_data
from tubcare.care.trigger_data import rules_from_data
from tubcare.errors import NotFoundError
from tubcare.services.facts import read_plan
from tubcare.services.templates import caution_texts
from tubcare.services.week import due_items
from tubcare.store.tables import SupplyRow, TaskRow, TaskSupplyRow, TubRow
from tubcare.store.unit import table_of
from tubcare.values import SupplyId, TaskId, TubId

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.care.model import Occurrence, Status
    from tubcare.services.desk import Desk


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskLine:
    """One task of the plan as a list shows it."""

    id: TaskId
    title: str
    category: Category
    tub: TubId
    tub_name: str
    round_name: str
    zone: str
    next_due: date | None
    status: Status | None


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualSupply:
    """What a task usually uses up."""

    supply: SupplyId
    name: str
    unit: str
    quantity_milli: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskDetail:
    """One task whole. `revision` counts its changes; the caution texts are read from `card`."""

    id: TaskId
    tub: TubId
    tub_name: str
    title: str
    category: Category
    task: Task
    card: TaskCard
    usual_minor: int | None
    supplies: tuple[UsualSupply, ...]
    reminds: bool
    template_key: str | None
    own: bool
    """Whether a person added or changed it, so that drawing the plan anew leaves it alone."""
    revision: int
    zone: str
    open: Occurrence | None
    today: date

    @property
    def minutes(self) -> int:
        """How long the task usually takes."""
        return self.task.minutes

    @property
    def cautions(self) -> tuple[str, ...]:
        """The texts of the cautions of the task and its steps, each once."""
        return caution_words(self.card.all_cautions)

    @property
    def general_cautions(self) -> tuple[str, ...]:
        """The texts of the cautions that belong to no single step."""
        return caution_words(self.card.cautions)

    @property
    def steps(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Each step with the texts of the cautions that stand beside it."""
        return tuple((step.text, caution_words(step.cautions)) for step in self.card.steps)


def caution_words(keys: tuple[str, ...]) -> tuple[str, ...]:
    """Return the text of each caution; a key that has none stands for itself."""
    texts = caution_texts()
    return tuple(texts.get(key, key) for key in keys)


def task_list(desk: Desk) -> tuple[TaskLine, ...]:
    """Return every active task, by category and title."""
    with desk.read() as connection:
        plan = read_plan(connection, desk.now())
    due = {item.task: item for item in due_items(desk, plan)}
    lines = []
    for task in plan.tasks:
        item = due.get(task.id)
        lines.append(
            TaskLine(
                id=task.id,
                title=task.title,
                category=task.category,
                tub=task.tub_id,
                tub_name=plan.tubs[task.tub_id].name,
                round_name=task.round_name,
                zone=plan.tubs[task.tub_id].zone,
                next_due=item.occurrence.due_on if item else None,
                status=item.occurrence.status if item else None,
            )
        )
    return tuple(sorted(lines, key=lambda line: (line.tub, line.category, line.title)))


def task_detail(desk: Desk, task: TaskId) -> TaskDetail:
    """Return one task whole; raise `NotFoundError` when it is gone."""
    table, tub = table_of(TaskRow), table_of(TubRow)
    with desk.read() as connection:
        row = connection.execute(select(table).where(table.c.id == task)).first()
        if row is None:
            raise NotFoundError("task", task)
        name = connection.execute(select(tub.c.name).where(tub.c.id == row.tub_id)).scalar_one()
        plan = read_plan(connection, desk.now(), only=task)
        supplies = _usual_supplies(connection, task)
    built = Task(
        id=task,
        tub_id=TubId(row.tub_id),
        title=row.title,
        category=Category(row.category),
        starts_on=row.starts_on,
        first_due_on=row.first_due_on,
        **rules_from_data(row.plan, starts_on=row.starts_on),
    )
    record = plan.tubs.get(built.tub_id)
    zone = record.zone if record else "UTC"
    today = desk.today(zone)
    return TaskDetail(
        id=task,
        tub=built.tub_id,
        tub_name=str(name),
        title=row.title,
        category=built.category,
        task=built,
        card=card_from_data(row.card),
        usual_minor=row.usual_minor,
        supplies=supplies,
        reminds=row.reminds,
        template_key=row.template_key,
        own=row.template_key is None or row.drawn is None,
        revision=row.revision,
        zone=zone,
        open=occurrence(built, plan.facts.get(task), record.facts, today) if record else None,
        today=today,
    )


def open_key(desk: Desk, task: TaskId) -> str | None:
    """Return the key of the open occurrence of a task, None when it has none."""
    found = task_detail(desk, task).open
    return None if found is None else found.key


def _usual_supplies(connection: Connection, task: TaskId) -> tuple[UsualSupply, ...]:
    link, supply = table_of(TaskSupplyRow), table_of(SupplyRow)
    rows = connection.execute(
        select(link.c.quantity_milli, supply.c.id, supply.c.name, supply.c.unit)
        .join(supply, supply.c.id == link.c.supply_id)
        .where(link.c.task_id == task)
        .order_by(supply.c.name)
    )
    return tuple(
        UsualSupply(
            supply=SupplyId(row.id),
            name=row.name,
            unit=row.unit,
            quantity_milli=row.quantity_milli,
        )
        for row in rows
    )
