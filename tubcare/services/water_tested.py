"""A test that was written down is the work of the tasks that ask for one: it ticks them off."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from sqlalchemy import select

from tubcare.care.model import Status
from tubcare.services.upkeep_case import case_of
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import insert_work
from tubcare.store.tables import TaskRow
from tubcare.store.unit import table_of
from tubcare.values import Sanitiser, TaskId

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TubId

# What a test holds that is the work of a task of the care plan, by its template.
_ASKS: Final[Mapping[str, frozenset[str]]] = MappingProxyType(
    {"water.test": frozenset({"ph"}), "water.test_aluminium": frozenset({"ph"})}
)
_SANITISERS: Final[Mapping[Sanitiser, str]] = MappingProxyType(
    {
        Sanitiser.CHLORINE: "free_chlorine_mg_l",
        Sanitiser.BROMINE: "bromine_mg_l",
        Sanitiser.HYDROGEN_PEROXIDE: "peroxide_mg_l",
    }
)


def tick_tests(
    desk: Desk, unit: Unit, tub: TubId, read: Collection[str], on: date
) -> tuple[str, ...]:
    """Tick off what a test of a day was the work of, and return the titles.

    Nothing is ticked twice: a later tick, or one of that day, stands. The test of the water asks
    for pH and the tub's sanitiser; a strip used is taken off the shelf as with any tick.
    """
    table = table_of(TaskRow)
    rows = unit.connection.execute(
        select(table.c.id, table.c.template_key).where(
            table.c.tub_id == tub, table.c.active, table.c.template_key.in_(_ASKS)
        )
    ).all()
    ticked = []
    for row in rows:
        case = case_of(desk, unit, TaskId(row.id))
        wanted = _ASKS[row.template_key]
        sanitiser = _SANITISERS.get(case.tub.profile.sanitiser)
        if row.template_key == "water.test" and sanitiser is not None:
            wanted |= {sanitiser}
        facts = case.plan.facts.get(case.task.id)
        closing = None if facts is None else facts.closing
        if not wanted <= set(read) or case.open is None or case.open.status is Status.ASLEEP:
            continue
        if closing is not None and closing.on >= on:
            continue
        insert_work(desk, unit, case.task.id, Work(on=on), restarts=True)
        ticked.append(case.task.title)
    return tuple(ticked)
