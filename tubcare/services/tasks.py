"""The care plan: its tasks, one task whole, adding, changing and dropping one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.model import CalendarTrigger, Category, Task
from tubcare.care.occurrences import occurrence
from tubcare.care.plan_card import TaskCard, card_from_data, card_to_data
from tubcare.care.recurrence import compile_rule
from tubcare.care.trigger_data import rules_from_data, rules_to_data
from tubcare.errors import NotFoundError, RuleError
from tubcare.services import fields
from tubcare.services.facts import read_plan
from tubcare.services.templates import caution_texts
from tubcare.services.topics import Topic
from tubcare.services.week import due_items
from tubcare.store.tables import PlanDropRow, SupplyRow, TaskRow, TaskSupplyRow, TubRow
from tubcare.store.unit import table_of
from tubcare.values import SupplyId, TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.care.model import Occurrence, Status
    from tubcare.services.desk import Desk

TASK_TOPICS = frozenset({Topic.TASKS, Topic.UPKEEP})
NEW_TASK = TaskId(0)
EMPTY_CARD = TaskCard()


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskLine:
    """One task of the plan as a list shows it."""

    id: TaskId
    title: str
    category: Category
    tub: TubId
    tub_name: str
    round_name: str
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
    """One task whole."""

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
    open: Occurrence | None
    today: date

    @property
    def minutes(self) -> int:
        """How long the task usually takes."""
        return self.task.minutes

    @property
    def cautions(self) -> tuple[str, ...]:
        """The texts of the cautions of the task and its steps, each once."""
        return _texts(self.card.all_cautions)

    @property
    def general_cautions(self) -> tuple[str, ...]:
        """The texts of the cautions that belong to no single step."""
        return _texts(self.card.cautions)

    @property
    def steps(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Each step with the texts of the cautions that stand beside it."""
        return tuple((step.text, _texts(step.cautions)) for step in self.card.steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskDraft:
    """A task as it is to be kept. `rules` as `tubcare.care.trigger_data` writes them."""

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


def _texts(keys: tuple[str, ...]) -> tuple[str, ...]:
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
    today = desk.today(record.zone if record else "UTC")
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
        open=occurrence(built, plan.facts.get(task), record.facts, today) if record else None,
        today=today,
    )


def open_key(desk: Desk, task: TaskId) -> str | None:
    """Return the key of the open occurrence of a task, None when it has none."""
    found = task_detail(desk, task).open
    return None if found is None else found.key


def add_task(desk: Desk, draft: TaskDraft) -> TaskId:
    """Add a task of the person's own; raise `InputError` naming what cannot be used."""
    values = _values(draft)
    with desk.write("add_task", draft.title, TASK_TOPICS) as unit:
        task = TaskId(unit.add(TaskRow, **values))
        for supply, quantity in (draft.supplies or {}).items():
            unit.add(TaskSupplyRow, task_id=task, supply_id=supply, quantity_milli=quantity)
    return task


def change_task(desk: Desk, task: TaskId, draft: TaskDraft, *, revision: int) -> None:
    """Keep a task as given.

    Raises
    ------
    RuleError
        When somebody else changed it since `revision` was read.
    """
    table = table_of(TaskRow)
    values = _values(draft)
    with desk.write("change_task", draft.title, TASK_TOPICS) as unit:
        current = unit.image(table, task)
        if current["revision"] != revision:
            raise RuleError("somebody else changed this task meanwhile; look at it again")
        unit.change(TaskRow, task, **(values | {"revision": revision + 1}))
        if draft.supplies is None:
            return
        link = table_of(TaskSupplyRow)
        for row in (
            unit.connection.execute(select(link.c.id).where(link.c.task_id == task))
            .scalars()
            .all()
        ):
            unit.remove(TaskSupplyRow, row)
        for supply, quantity in draft.supplies.items():
            unit.add(TaskSupplyRow, task_id=task, supply_id=supply, quantity_milli=quantity)


def revision_of(desk: Desk, task: TaskId) -> int:
    """Return how often a task was changed, for `change_task`."""
    table = table_of(TaskRow)
    with desk.read() as connection:
        found = connection.execute(select(table.c.revision).where(table.c.id == task)).scalar()
    if found is None:
        raise NotFoundError("task", task)
    return int(found)


def drop_task(desk: Desk, task: TaskId) -> None:
    """Take a task out of the plan; what was done stays on record."""
    table = table_of(TaskRow)
    with desk.write("drop_task", task_detail(desk, task).title, TASK_TOPICS) as unit:
        image = unit.image(table, task)
        unit.change(TaskRow, task, active=False)
        if image["template_key"]:
            unit.add_once(
                PlanDropRow,
                ("tub_id", "template_key"),
                tub_id=image["tub_id"],
                template_key=image["template_key"],
            )


def _values(draft: TaskDraft) -> dict[str, Any]:
    title = fields.required_name("title", draft.title, longest=fields.MAX_TITLE)
    day = fields.day("starts on", draft.starts_on)
    built = Task(
        id=NEW_TASK,
        tub_id=draft.tub,
        title=title,
        category=draft.category,
        starts_on=day,
        **rules_from_data(draft.rules, starts_on=day),
    )
    _require_dates(built)
    if draft.usual_minor is not None:
        fields.quantity("usual cost", draft.usual_minor, 0, 10**12)
    return {
        "tub_id": draft.tub,
        "title": title,
        "category": draft.category.value,
        "plan": rules_to_data(built),
        "card": card_to_data(draft.card),
        "starts_on": day,
        "first_due_on": draft.first_due_on,
        "usual_minor": draft.usual_minor,
        "reminds": draft.reminds,
    }


def _require_dates(task: Task) -> None:
    """Raise `InputError` for a calendar rule that cannot be read or has no dates."""
    for trigger in task.triggers:
        if isinstance(trigger, CalendarTrigger):
            compile_rule(trigger.rule, trigger.start)


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
