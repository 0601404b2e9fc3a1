"""The care plan: drawn from the profile, saved, drawn anew without touching one's changes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.plan import draw_plan
from tubcare.care.plan_redraw import ExistingTask, PlanDiff, content_to_data
from tubcare.care.plan_redraw import redraw as compare
from tubcare.errors import NotFoundError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.household import checked_zone
from tubcare.services.supplies import ensure_supply
from tubcare.services.templates import known_templates
from tubcare.services.topics import Topic
from tubcare.services.tubs import insert_tub, tubs
from tubcare.store.tables import PlanDropRow, TaskRow, TaskSupplyRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping
    from datetime import date

    from sqlalchemy import Row

    from tubcare.care.plan import PlannedTask
    from tubcare.services.desk import Desk
    from tubcare.services.tubs import Tub
    from tubcare.store.unit import Unit
    from tubcare.values import TubProfile

PLAN_TOPICS = frozenset({Topic.TUBS, Topic.TASKS, Topic.UPKEEP, Topic.STOCK})


@dataclass(frozen=True, slots=True, kw_only=True)
class AddedTub:
    """A tub that was added, and how many tasks were planned for it."""

    tub: TubId
    tasks: int


def planned_for(
    profile: TubProfile, today: date, *, last_done: Mapping[str, date] | None = None
) -> tuple[PlannedTask, ...]:
    """Return every task that a profile calls for, with its first date, before it is saved.

    Parameters
    ----------
    last_done
        By template key, when the task was last done as far as the person knows.
    """
    return draw_plan(profile, known_templates(), today, last_done=last_done)


def add_tub_with_plan(
    desk: Desk,
    profile: TubProfile,
    *,
    last_done: Mapping[str, date] | None = None,
    keys: Collection[str] | None = None,
) -> AddedTub:
    """Add a tub and save its plan.

    Parameters
    ----------
    keys
        The templates to take; None takes those that a plan starts with.
    """
    today = desk.today(checked_zone(profile.zone))
    planned = planned_for(profile, today, last_done=last_done)
    with desk.write("add_tub", profile.name, PLAN_TOPICS) as unit:
        tub = insert_tub(unit, profile, today)
        chosen = [p for p in planned if (p.starter if keys is None else p.template_key in keys)]
        for each in chosen:
            _insert(unit, tub, each)
    return AddedTub(tub=tub, tasks=len(chosen))


def offered(desk: Desk, tub: TubId) -> tuple[PlannedTask, ...]:
    """Return what the profile calls for and the plan does not hold yet; dropped ones stay away."""
    return redraw(desk, tub).added


def accept(desk: Desk, tub: TubId, keys: Collection[str]) -> int:
    """Add offered tasks to the plan; return how many."""
    chosen = [p for p in offered(desk, tub) if p.template_key in keys]
    with desk.write("accept_offer", f"{len(chosen)} tasks", PLAN_TOPICS) as unit:
        for each in chosen:
            _insert(unit, tub, each)
    return len(chosen)


def redraw(desk: Desk, tub: TubId) -> PlanDiff:
    """Return what drawing the plan anew from today's profile would change."""
    record = _tub(desk, tub)
    table, drop = table_of(TaskRow), table_of(PlanDropRow)
    with desk.read() as connection:
        rows = connection.execute(select(table).where(table.c.tub_id == tub, table.c.active)).all()
        dropped = set(
            connection.execute(select(drop.c.template_key).where(drop.c.tub_id == tub)).scalars()
        )
    return compare(
        record.profile,
        known_templates(),
        [_existing(row) for row in rows],
        desk.today(record.zone),
        dropped=dropped,
    )


def apply_redraw(desk: Desk, tub: TubId, diff: PlanDiff) -> None:
    """Save a redrawn plan; what a person changed stays as it is."""
    with desk.write("redraw_plan", _tub(desk, tub).name, PLAN_TOPICS) as unit:
        for each in diff.added:
            _insert(unit, tub, each)
        for change in diff.changed:
            unit.change(TaskRow, change.task_id, **_content(change.planned))
        for gone in diff.dropped:
            unit.change(TaskRow, gone.task_id, active=False)


def _insert(unit: Unit, tub: TubId, planned: PlannedTask) -> TaskId:
    task = TaskId(
        unit.add(
            TaskRow,
            tub_id=tub,
            starts_on=planned.starts_on,
            first_due_on=planned.first_due_on,
            template_key=planned.template_key,
            **_content(planned),
        )
    )
    for use in planned.card.supplies:
        supply = ensure_supply(
            unit, name=use.name, unit=use.unit, category=SpendCategory(use.category)
        )
        unit.add(TaskSupplyRow, task_id=task, supply_id=supply, quantity_milli=use.quantity_milli)
    return task


def _content(planned: PlannedTask) -> dict[str, Any]:
    drawn = content_to_data(planned)
    return {**drawn, "drawn": drawn}


def _existing(row: Row[*tuple[Any, ...]]) -> ExistingTask:
    return ExistingTask(
        id=TaskId(row.id),
        title=row.title,
        starts_on=row.starts_on,
        template_key=row.template_key,
        drawn=row.drawn,
        current={
            "title": row.title,
            "category": row.category,
            "plan": row.plan,
            "card": row.card,
        },
    )


def _tub(desk: Desk, tub: TubId) -> Tub:
    found = next((t for t in tubs(desk) if t.id == tub), None)
    if found is None:
        raise NotFoundError("tub", tub)
    return found
