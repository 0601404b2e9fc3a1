"""Which tasks need the tub empty, and which are inspections, without reading their cards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import Text, cast, or_, select

from tubcare.care.plan_card import Need
from tubcare.store.tables import TaskRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.services.facts import Plan


def marked_tasks(connection: Connection) -> tuple[frozenset[TaskId], frozenset[TaskId]]:
    """Return the tasks that need the tub empty, and those whose result opens a follow-up task.

    The cards of all the others are not read: a mark in the text of the JSON is enough. Quotes
    inside what people wrote are escaped there, so that nothing else looks like one.
    """
    table = table_of(TaskRow)
    card = cast(table.c.card, Text)
    empties, opens = card.contains(f'"{Need.TUB_EMPTY}"'), card.contains('"follow_ups": [[')
    rows = connection.execute(
        select(table.c.id, empties.label("empty"), opens.label("opens")).where(
            table.c.active, or_(empties, opens)
        )
    ).all()
    return (
        frozenset(TaskId(row.id) for row in rows if row.empty),
        frozenset(TaskId(row.id) for row in rows if row.opens),
    )


def inspections(plan: Plan, opens: frozenset[TaskId]) -> frozenset[TaskId]:
    """Return the tasks whose result decides what comes next, `opens` by another task."""
    return opens | {task.id for task in plan.tasks if task.result_intervals}
