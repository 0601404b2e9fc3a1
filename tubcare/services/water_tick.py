"""A tick of a task that a reading made due records the worked-out dose, not a usual one."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import select

from tubcare.services.measures import tub_named
from tubcare.services.water_due import asked_of, open_steps
from tubcare.services.water_plan import plan_in
from tubcare.services.water_shelf import products_in
from tubcare.services.water_steps import record_step
from tubcare.store.tables import TaskSupplyRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.care.model import Occurrence
    from tubcare.services.desk import Desk
    from tubcare.services.water_steps import StepRecord
    from tubcare.store.unit import Unit
    from tubcare.values import SupplyId, TaskId


def record_planned(
    desk: Desk, unit: Unit, closed: Occurrence, record: StepRecord
) -> dict[SupplyId, int] | None:
    """Record the open steps that an occurrence asks for, and return what they took.

    Nothing goes in where the plan knew the label of what is usual and found nothing to add. None
    where it could not know, or on a day before its test: then the usual supplies count.
    """
    kinds = asked_of(closed)
    if not kinds:
        return None
    place = tub_named(unit.connection, record.tub)
    plan = plan_in(unit.connection, place, desk.now())
    steps = open_steps(plan, kinds)
    if plan.test_at is None:
        return None
    if not steps or plan.earliest is None:
        return {} if _usual_is_labelled(unit.connection, record.task) else None
    if record.on < plan.earliest.astimezone(ZoneInfo(place.zone)).date():
        return None
    # A day alone means noon, which may lie before the test of that day.
    record = replace(record, at=max(record.at, plan.earliest))
    uses: dict[SupplyId, int] = {}
    for each in steps:
        for supply, taken in record_step(unit, plan.test_at, each, record).items():
            uses[supply] = uses.get(supply, 0) + taken
    return uses


def _usual_is_labelled(connection: Connection, task: TaskId | None) -> bool:
    """Return whether the plan knew what a task usually takes, and still found nothing to add."""
    table = table_of(TaskSupplyRow)
    usual = set(
        connection.execute(select(table.c.supply_id).where(table.c.task_id == task)).scalars()
    )
    return any(each.supply in usual for each in products_in(connection))
