"""What is ahead: dates, and what they will cost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.care.forecast import forecast
from tubcare.services.facts import read_plan

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.care.model import Occurrence
    from tubcare.services.desk import Desk
    from tubcare.services.facts import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """The dates ahead and the plan that they come from."""

    plan: Plan
    occurrences: tuple[Occurrence, ...]


def ahead(desk: Desk, until: date) -> Ahead:
    """Return what falls due up to a day, assuming that all is done on its due date."""
    with desk.read() as connection:
        return _ahead(desk, connection, until)


def _ahead(desk: Desk, connection: Connection, until: date) -> Ahead:
    return rolled_forward(desk, read_plan(connection, desk.now()), until)


def rolled_forward(desk: Desk, plan: Plan, until: date) -> Ahead:
    """Return what falls due up to a day in a plan that was read before."""
    found: list[Occurrence] = []
    for tub in plan.tubs.values():
        today = desk.today(tub.zone)
        tasks = [task for task in plan.tasks if task.tub_id == tub.id]
        found += forecast(tasks, plan.facts, {tub.id: tub.facts}, today, until)
    found.sort(key=lambda each: (each.due_on, each.task_id))
    return Ahead(plan=plan, occurrences=tuple(found))
