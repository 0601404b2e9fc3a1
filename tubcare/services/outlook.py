"""What is ahead: dates, and what they will cost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.care.forecast import forecast
from tubcare.ledger.forecast import ExpectedCost
from tubcare.services.facts import read_plan
from tubcare.services.spending import spend_category
from tubcare.store.tables import StockRow, TaskSupplyRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId

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


def expected_costs(
    desk: Desk, connection: Connection, plan: Plan, today: date, last: date
) -> tuple[ExpectedCost, ...]:
    """Return the usual cost of everything in a plan that is still to come up to `last`."""
    found = _rolled(desk, plan, last)
    tasks = {task.id: task for task in found.plan.tasks}
    costs = usual_costs(connection, found.plan)
    return tuple(
        ExpectedCost(
            on=max(each.due_on, today),
            category=spend_category(tasks[each.task_id].category),
            minor=costs[each.task_id],
            task=each.task_id,
        )
        for each in found.occurrences
        if costs.get(each.task_id) and each.due_on <= last
    )


def usual_costs(connection: Connection, plan: Plan) -> dict[TaskId, int]:
    """Return what each task usually costs: its money, and its supplies at their average."""
    costs = dict(plan.usual_minor)
    link, stock = table_of(TaskSupplyRow), table_of(StockRow)
    rows = connection.execute(
        select(link.c.task_id, link.c.quantity_milli, stock.c.state).join(
            stock, stock.c.supply_id == link.c.supply_id
        )
    )
    for task_id, quantity, state in rows:
        value, per = state["average_minor"], state["average_milli"]
        if per:
            task = TaskId(task_id)
            costs[task] = costs.get(task, 0) + round(value * quantity / per)
    return costs


def _ahead(desk: Desk, connection: Connection, until: date) -> Ahead:
    return _rolled(desk, read_plan(connection, desk.now()), until)


def _rolled(desk: Desk, plan: Plan, until: date) -> Ahead:
    found: list[Occurrence] = []
    for tub in plan.tubs.values():
        today = desk.today(tub.zone)
        tasks = [task for task in plan.tasks if task.tub_id == tub.id]
        found += forecast(tasks, plan.facts, {tub.id: tub.facts}, today, until)
    found.sort(key=lambda each: (each.due_on, each.task_id))
    return Ahead(plan=plan, occurrences=tuple(found))
