"""Tubs and tasks put straight into a logbook, for tests of what follows from them."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from tubcare.care.model import TubState
from tubcare.care.profile import profile_to_data
from tubcare.store.tables import StateChangeRow, TaskRow, TaskSupplyRow, TubRow
from tubcare.values import MonthDay, SupplyId, TaskId, TubId, TubProfile

if TYPE_CHECKING:
    from tubcare.services.desk import Desk

START = date(2026, 4, 1)
EVERY_30_DAYS = {"kind": "elapsed", "every": 30, "period": "day"}


def add_tub(
    desk: Desk, *, name: str = "North", zone: str = "Europe/Helsinki", opened: date | None = START
) -> TubId:
    profile = TubProfile(
        name=name,
        zone=zone,
        season_opens=MonthDay(month=4, day=15),
        season_closes=MonthDay(month=11, day=1),
    )
    with desk.write("add_tub", name, frozenset()) as unit:
        tub = unit.add(
            TubRow, name=name, zone=zone, profile=profile_to_data(profile), added_on=START
        )
        if opened is not None:
            unit.add(StateChangeRow, tub_id=tub, on_date=opened, state=TubState.OPEN.value)
    return TubId(tub)


def add_task(  # noqa: PLR0913  a task has many parts
    desk: Desk,
    tub: TubId,
    *,
    title: str = "Swap the filter cartridge",
    category: str = "filter",
    triggers: list[dict[str, Any]] | None = None,
    usual_minor: int | None = None,
    supplies: dict[SupplyId, int] | None = None,
    starts_on: date = START,
    **rules: object,
) -> TaskId:
    plan = {
        "triggers": triggers or [EVERY_30_DAYS],
        "scope": "always",
        "out_of_scope": "move_to_start",
        **rules,
    }
    with desk.write("add_task", title, frozenset()) as unit:
        task = unit.add(
            TaskRow,
            tub_id=tub,
            title=title,
            category=category,
            plan=plan,
            card={},
            starts_on=starts_on,
            usual_minor=usual_minor,
        )
        for supply, quantity in (supplies or {}).items():
            unit.add(TaskSupplyRow, task_id=task, supply_id=supply, quantity_milli=quantity)
    return TaskId(task)
