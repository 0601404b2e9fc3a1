"""One task as its page shows it: steps with their ticks and waits, and what was done before."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from tubcare.care.model import InspectionResult
from tubcare.care.procedure import step_stands
from tubcare.services.follow_ups import asks_for_result
from tubcare.services.on_shelf import OnShelf
from tubcare.services.tasks import TaskDetail, caution_words, task_detail
from tubcare.store.tables import CompletionRow, EntryRow, PersonRow, StepTickRow, UseRow
from tubcare.store.unit import table_of
from tubcare.values import CompletionId

if TYPE_CHECKING:
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.care.procedure import StepState
    from tubcare.ledger.lots import ShelfNote
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId

MOST_SHOWN = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """One step of the open occurrence. `number` counts from 0, as ticks name it.

    `ready_at` is the instant at which the wait before the next step ends; `waits_h` are the hours
    to wait after the step before this one.
    """

    number: int
    text: str
    cautions: tuple[str, ...]
    waits_h: float
    state: StepState
    ready_at: datetime | None
    done_at: datetime | None
    done_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryLine:
    """One completion or skip of a task, with all that it cost."""

    completion: CompletionId
    on: date
    due_on: date | None
    who: str
    skipped: bool
    extra: bool
    on_time: bool
    minutes: int | None
    result: InspectionResult | None
    note: str
    cost_minor: int
    can_go: bool
    """Whether nothing later stands on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskPage:
    """One task with its steps and its history, newest first; `done` counts all completions."""

    detail: TaskDetail
    steps: tuple[StepLine, ...]
    history: tuple[HistoryLine, ...]
    done: int
    asks_result: bool
    lacks: tuple[ShelfNote, ...] = ()
    """What the shelf lacks for its usual supplies, whatever else is due before it."""

    @property
    def all_steps_done(self) -> bool:
        """Whether the task has steps and each is ticked."""
        return bool(self.steps) and all(step.done_at is not None for step in self.steps)


def task_page(desk: Desk, task: TaskId) -> TaskPage:
    """Return all that the page of a task shows; raise `NotFoundError` when it is gone."""
    detail = task_detail(desk, task)
    key = "" if detail.open is None else detail.open.key
    done = table_of(CompletionRow)
    with desk.read() as connection:
        ticks = _ticks(connection, task, key)
        history = _history(connection, task)
        lacks = _lacks(connection, detail)
        count = connection.execute(
            select(func.count()).where(done.c.task_id == task, done.c.outcome == "done")
        ).scalar_one()
    return TaskPage(
        detail=detail,
        steps=_steps(detail, ticks, desk.now()),
        history=history,
        done=int(count),
        asks_result=asks_for_result(detail.card, detail.task),
        lacks=lacks,
    )


def _lacks(connection: Connection, detail: TaskDetail) -> tuple[ShelfNote, ...]:
    uses = {each.supply: each.quantity_milli for each in detail.supplies}
    if not uses or detail.open is None:
        return ()
    return OnShelf(connection, uses).take(uses, max(detail.open.due_on, detail.today))


def _steps(
    detail: TaskDetail, ticks: dict[int, tuple[datetime, str]], now: datetime
) -> tuple[StepLine, ...]:
    steps = detail.card.steps
    stands = step_stands(steps, {number: at for number, (at, _who) in ticks.items()}, now)
    waits = (0.0, *(step.wait_after_h for step in steps))
    return tuple(
        StepLine(
            number=number,
            text=step.text,
            cautions=caution_words(step.cautions),
            waits_h=waits[number],
            state=stand.state,
            ready_at=stand.ready_at,
            done_at=stand.done_at,
            done_by=ticks[number][1] if number in ticks else "",
        )
        for number, (step, stand) in enumerate(zip(steps, stands, strict=True))
    )


def _ticks(connection: Connection, task: TaskId, key: str) -> dict[int, tuple[datetime, str]]:
    table, person = table_of(StepTickRow), table_of(PersonRow)
    rows = connection.execute(
        select(table.c.step, table.c.at, person.c.name)
        .outerjoin(person, person.c.id == table.c.person_id)
        .where(table.c.task_id == task, table.c.key == key)
    )
    return {row.step: (row.at, row.name or "") for row in rows}


def _history(connection: Connection, task: TaskId) -> tuple[HistoryLine, ...]:
    done, person = table_of(CompletionRow), table_of(PersonRow)
    rows = connection.execute(
        select(done, person.c.name)
        .outerjoin(person, person.c.id == done.c.person_id)
        .where(done.c.task_id == task)
        .order_by(done.c.id.desc())
        .limit(MOST_SHOWN)
    ).all()
    costs = _costs(connection, [row.id for row in rows])
    newest = next((row.id for row in rows if row.key is not None), None)
    lines = [
        HistoryLine(
            completion=CompletionId(row.id),
            on=row.on_date,
            due_on=row.due_on,
            who=row.name or "",
            skipped=row.outcome == "skipped",
            extra=row.key is None,
            on_time=row.on_time,
            minutes=row.minutes,
            result=InspectionResult(row.result) if row.result else None,
            note=row.note,
            cost_minor=costs.get(row.id, 0),
            can_go=row.key is None or row.id == newest,
        )
        for row in rows
    ]
    lines.sort(key=lambda line: (line.on, line.completion), reverse=True)
    return tuple(lines)


def _costs(connection: Connection, completions: list[int]) -> dict[int, int]:
    """Return what each completion cost: money paid with it, and its stock at its value."""
    found: dict[int, int] = {}
    entry, use = table_of(EntryRow), table_of(UseRow)
    for table, column in ((entry, entry.c.minor), (use, use.c.cost_minor)):
        rows = connection.execute(
            select(table.c.completion_id, func.sum(column))
            .where(table.c.completion_id.in_(completions))
            .group_by(table.c.completion_id)
        )
        for completion, minor in rows:
            found[completion] = found.get(completion, 0) + int(minor)
    return found
