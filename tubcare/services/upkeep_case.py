"""What decides about one task: its plan, its tub, what is open of it today."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.care.due_base import view_of
from tubcare.care.facts import NO_FACTS
from tubcare.care.model import Occurrence, Status
from tubcare.care.occurrences import open_occurrence
from tubcare.errors import AlreadyDoneError, NotFoundError, RuleError
from tubcare.services.facts import Plan, read_plan
from tubcare.store.tables import CompletionRow, PersonRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.care.due_base import View
    from tubcare.care.model import Task
    from tubcare.services.desk import Desk
    from tubcare.services.facts import TubRecord
    from tubcare.store.unit import Unit
    from tubcare.values import TaskId


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A task with all that a record of work on it depends on; `open` is what is open of it."""

    task: Task
    tub: TubRecord
    plan: Plan
    today: View
    open: Occurrence | None


def case_of(desk: Desk, unit: Unit, task: TaskId) -> Case:
    """Read what decides about one task, which is the unit's subject unless it has one."""
    case = read_case(desk, unit.connection, task)
    unit.subject = unit.subject or case.task.title
    return case


def read_case(desk: Desk, connection: Connection, task: TaskId) -> Case:
    """Read what decides about one task; raises NotFoundError where there is no such task."""
    plan = read_plan(connection, desk.now(), only=task)
    if not plan.tasks:
        raise NotFoundError("task", task)
    return case_in(desk, plan, plan.tasks[0])


def case_in(desk: Desk, plan: Plan, task: Task) -> Case:
    """Return what a plan that was just read tells of one of its tasks."""
    tub = plan.tubs[task.tub_id]
    today = view_of(tub.facts, desk.today(tub.zone))
    found = open_occurrence(task, plan.facts.get(task.id) or NO_FACTS, today)
    return Case(task=task, tub=tub, plan=plan, today=today, open=found)


def require_open(connection: Connection, case: Case, key: str) -> Occurrence:
    """Return the open occurrence of this key.

    Raises
    ------
    AlreadyDoneError
        When somebody closed it first, telling who and when.
    RuleError
        When the key names nothing that is open.
    """
    if case.open is not None and case.open.key == key and case.open.status is not Status.ASLEEP:
        return case.open
    require_unclosed(connection, case, key)
    if case.open is not None and case.open.key == key:
        return case.open
    raise RuleError(f"“{case.task.title}” is no longer due like that; look at this week again")


def require_unclosed(connection: Connection, case: Case, key: str) -> None:
    """Tell who closed an occurrence and when, where somebody did."""
    done, person = table_of(CompletionRow), table_of(PersonRow)
    row = connection.execute(
        select(done.c.at, person.c.name)
        .outerjoin(person, person.c.id == done.c.person_id)
        .where(done.c.task_id == case.task.id, done.c.key == key)
    ).first()
    if row is not None:
        raise AlreadyDoneError(case.task.title, row.name, row.at)
