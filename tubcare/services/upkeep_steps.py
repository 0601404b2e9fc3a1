"""The steps of a procedure, ticked one by one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.errors import NotFoundError
from tubcare.services.dependents import require_unreferenced
from tubcare.services.household import ensure_person
from tubcare.services.moments import moment_of
from tubcare.services.topics import Topic
from tubcare.services.upkeep_case import case_of, require_open
from tubcare.store.tables import StepTickRow, TaskRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from datetime import date, time

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.values import TaskId


def tick_step(
    desk: Desk,
    task: TaskId,
    key: str,
    step: int,
    *,
    on: date | None = None,
    at: time | None = None,
) -> None:
    """Record that one step of a procedure was done; ticking it again changes nothing.

    Parameters
    ----------
    step
        Its place, counted from 0.
    on, at
        The local day and time at which it was done, as `moment_of` takes them. Waiting times
        count from there.
    """
    with desk.write("tick_step", "", frozenset({Topic.UPKEEP})) as unit:
        case = case_of(desk, unit, task)
        require_open(unit.connection, case, key)
        who = ensure_person(unit, desk.actor)
        unit.add_once(
            StepTickRow,
            ("task_id", "key", "step"),
            task_id=task,
            key=key,
            step=step,
            at=moment_of(desk, case.tub.zone, on, at),
            person_id=who,
        )


def untick_step(desk: Desk, task: TaskId, key: str, step: int) -> None:
    """Take back the tick of one step of an open occurrence.

    Raises
    ------
    DependentFactError
        When the occurrence was closed since.
    """
    table = table_of(StepTickRow)
    with desk.write("untick_step", "", frozenset({Topic.UPKEEP})) as unit:
        unit.subject = _title(unit.connection, task)
        found = unit.connection.execute(
            select(table.c.id).where(
                table.c.task_id == task, table.c.key == key, table.c.step == step
            )
        ).scalar()
        if found is not None:
            require_unreferenced(unit.connection, table, found, "this step")
            unit.remove(StepTickRow, found)


def _title(connection: Connection, task: TaskId) -> str:
    table = table_of(TaskRow)
    found = connection.execute(select(table.c.title).where(table.c.id == task)).scalar()
    if found is None:
        raise NotFoundError("task", task)
    return str(found)
