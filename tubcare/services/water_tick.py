"""A tick of a task that a reading made due records the worked-out dose, not a usual one."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.services.measures import tub_named
from tubcare.services.water_due import asked_of, open_steps
from tubcare.services.water_plan import plan_in
from tubcare.services.water_steps import record_step

if TYPE_CHECKING:
    from tubcare.care.model import Occurrence
    from tubcare.services.desk import Desk
    from tubcare.services.water_steps import StepRecord
    from tubcare.store.unit import Unit
    from tubcare.values import SupplyId


def record_planned(
    desk: Desk, unit: Unit, closed: Occurrence, record: StepRecord
) -> dict[SupplyId, int] | None:
    """Record the open steps that an occurrence asks for, and return what they took.

    None where nothing was worked out for it, or on a day before its test: then the usual supplies
    count.
    """
    kinds = asked_of(closed)
    if not kinds:
        return None
    place = tub_named(unit.connection, record.tub)
    plan = plan_in(unit.connection, place, desk.now())
    steps = open_steps(plan, kinds)
    if not steps or plan.test_at is None or plan.earliest is None:
        return None
    if record.on < plan.earliest.astimezone(ZoneInfo(place.zone)).date():
        return None
    # A day alone means noon, which may lie before the test of that day.
    record = replace(record, at=max(record.at, plan.earliest))
    uses: dict[SupplyId, int] = {}
    for each in steps:
        for supply, taken in record_step(unit, plan.test_at, each, record).items():
            uses[supply] = uses.get(supply, 0) + taken
    return uses
