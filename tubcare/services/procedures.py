"""Procedures: work of many steps over days, as opening and closing; where each of them stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.care.model import Status
from tubcare.care.occurrences import occurrence
from tubcare.care.plan_card import TaskCard, card_from_data
from tubcare.care.procedure import StepState, ready_at, step_stands
from tubcare.services.facts import read_plan
from tubcare.services.templates import caution_texts
from tubcare.store.tables import StepTickRow, TaskRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.care.model import Occurrence, Task, TubState
    from tubcare.care.plan_card import Need
    from tubcare.services.desk import Desk
    from tubcare.services.facts import Plan
    from tubcare.values import TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureStep:
    """One step with its cautions in words. `place` counts from 0, as ticks name it."""

    place: int
    text: str
    cautions: tuple[str, ...]
    wait_after_h: float
    state: StepState
    done_at: datetime | None
    ready_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """A task whose steps are ticked one by one, with the occurrence that is open."""

    task: TaskId
    title: str
    why: str
    zone: str
    today: date
    occurrence: Occurrence
    cautions: tuple[str, ...]
    needs: tuple[Need, ...]
    tools: tuple[str, ...]
    supplies: tuple[str, ...]
    steps: tuple[ProcedureStep, ...]
    enters: TubState | None
    ready_at: datetime | None
    """When the last waiting time ends, also after the last step; None for none."""

    @property
    def done(self) -> int:
        """How many steps are ticked."""
        return sum(step.state is StepState.DONE for step in self.steps)

    @property
    def left(self) -> int:
        """How many steps are still to be ticked."""
        return len(self.steps) - self.done

    @property
    def next_step(self) -> ProcedureStep | None:
        """The step that comes next, None when all are ticked."""
        coming = (StepState.NEXT, StepState.WAITING)
        return next((step for step in self.steps if step.state in coming), None)


def procedures(desk: Desk, tub: TubId) -> tuple[Procedure, ...]:
    """Return the procedures in a tub's plan: begun ones first, then by the date they fall due."""
    now = desk.now()
    with desk.read() as connection:
        plan = read_plan(connection, now)
        cards = _cards(connection, tub)
        ticks = _ticks(connection, frozenset(cards))
    today = desk.today(plan.tubs[tub].zone) if tub in plan.tubs else now.date()
    found = []
    for task in plan.tasks:
        card = cards.get(task.id)
        if card is None:
            continue
        open_one = occurrence(task, plan.facts.get(task.id), plan.tubs[tub].facts, today)
        if open_one is None:
            continue
        ticked = ticks.get((task.id, open_one.key), {})
        found.append(_procedure(plan, task, card, open_one, ticked, now, today))
    found.sort(key=_pressing)
    return tuple(found)


def _pressing(procedure: Procedure) -> tuple[bool, bool, date, TaskId]:
    asleep = procedure.occurrence.status is Status.ASLEEP
    return not procedure.done, asleep, procedure.occurrence.due_on, procedure.task


def _cards(connection: Connection, tub: TubId) -> dict[TaskId, TaskCard]:
    table = table_of(TaskRow)
    rows = connection.execute(
        select(table.c.id, table.c.card).where(table.c.tub_id == tub, table.c.active)
    )
    cards = {TaskId(row.id): card_from_data(row.card) for row in rows}
    return {task: card for task, card in cards.items() if card.is_procedure and card.steps}


def _ticks(
    connection: Connection, tasks: frozenset[TaskId]
) -> dict[tuple[TaskId, str], dict[int, datetime]]:
    table = table_of(StepTickRow)
    found: dict[tuple[TaskId, str], dict[int, datetime]] = {}
    rows = connection.execute(
        select(table.c.task_id, table.c.key, table.c.step, table.c.at).where(
            table.c.task_id.in_(tasks)
        )
    )
    for row in rows:
        found.setdefault((TaskId(row.task_id), row.key), {})[row.step] = row.at
    return found


def _procedure(  # noqa: PLR0913, PLR0917  one result, one place that makes it
    plan: Plan,
    task: Task,
    card: TaskCard,
    open_one: Occurrence,
    ticked: Mapping[int, datetime],
    now: datetime,
    today: date,
) -> Procedure:
    texts = caution_texts()
    stands = step_stands(card.steps, ticked, now)
    return Procedure(
        task=task.id,
        title=task.title,
        why=card.why,
        zone=plan.tubs[task.tub_id].zone,
        today=today,
        occurrence=open_one,
        cautions=tuple(texts.get(key, key) for key in card.cautions),
        needs=card.needs,
        tools=card.tools,
        supplies=tuple(use.name for use in card.supplies),
        steps=tuple(
            ProcedureStep(
                place=place,
                text=step.text,
                cautions=tuple(texts.get(key, key) for key in step.cautions),
                wait_after_h=step.wait_after_h,
                state=stand.state,
                done_at=stand.done_at,
                ready_at=stand.ready_at,
            )
            for place, (step, stand) in enumerate(zip(card.steps, stands, strict=True))
        ),
        enters=card.enters,
        ready_at=ready_at(card.steps, ticked, len(card.steps)),
    )
