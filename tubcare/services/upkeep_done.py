"""Work that was done: its closing, its supplies and cost, the state and tasks it leads to."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from sqlalchemy import bindparam, select

from tubcare.care.model import Category, Closing, Occurrence, Outcome, ReadingReason, SeasonTrigger
from tubcare.care.plan_card import card_from_data
from tubcare.services import fields
from tubcare.services.follow_ups import open_follow_up
from tubcare.services.household import ensure_person
from tubcare.services.moments import happened_at
from tubcare.services.on_shelf import OnShelf
from tubcare.services.spending import spend_category
from tubcare.services.tubs import insert_state, last_state
from tubcare.services.upkeep_case import Case, case_of
from tubcare.services.upkeep_closing import close_occurrence, ticked_from
from tubcare.store.tables import EntryRow, TaskRow, TaskSupplyRow, UseRow
from tubcare.store.unit import table_of
from tubcare.values import SupplyId, TaskId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.care.model import TubState
    from tubcare.ledger.lots import ShelfNote
    from tubcare.services.desk import Desk
    from tubcare.services.upkeep_model import Ticked, Work
    from tubcare.store.unit import Unit

_USUAL = table_of(TaskSupplyRow)
_USUAL_USES = select(_USUAL.c.supply_id, _USUAL.c.quantity_milli).where(
    _USUAL.c.task_id == bindparam("of")
)


def record_done(
    desk: Desk, unit: Unit, case: Case, closed: Occurrence | None, work: Work
) -> Ticked:
    """Record work with all that it leads to; None closes nothing: it was extra work."""
    closing, cost, uses = write_work(desk, unit, case, closed, work)
    ticked = ticked_from(desk, unit, case, closing, cost, uses)
    if uses:
        ticked = replace(ticked, lacked=_lacked(unit, closing, uses))
    if work.result is not None:
        follow_up = open_follow_up(unit, case.task, work.result, closing.on)
        ticked = replace(ticked, follow_up=follow_up)
    entered = None if closed is None else _enter(unit, case, closing.on)
    if entered is None:
        return ticked
    # What comes next stands on the state that the tub is in from now on.
    after = case_of(desk, unit, case.task.id)
    due = None if after.open is None else after.open.due_on
    return replace(ticked, next_due=due, entered=entered)


def _lacked(unit: Unit, closing: Closing, uses: Mapping[SupplyId, int]) -> tuple[ShelfNote, ...]:
    """Return what the shelf lacked; its stock is kept at the end of the use case."""
    shelf = OnShelf(unit.connection, uses)
    for change in unit.changes:
        row = change.after
        if change.table != UseRow.__tablename__ or row is None:
            continue
        if row["completion_id"] != closing.id and row["supply_id"] in uses:
            shelf.take({row["supply_id"]: row["quantity_milli"]}, closing.on)
    return shelf.take(uses, closing.on)


def write_work(
    desk: Desk, unit: Unit, case: Case, closed: Occurrence | None, work: Work
) -> tuple[Closing, int, Mapping[SupplyId, int]]:
    """Write the closing with its uses and its cost; return all three."""
    on, at = happened_at(desk, case.tub.zone, work.on)
    closing = close_occurrence(desk, unit, case, closed, Outcome.DONE, on, at, work)
    planned = _planned(desk, unit, case, closed, closing, work)
    uses = _usual_uses(unit.connection, case.task.id) if work.uses is None else dict(work.uses)
    for supply, quantity in (uses if planned is None else {}).items():
        fields.quantity("quantity_milli", quantity, 1, 10**9)
        unit.add(
            UseRow,
            on_date=on,
            kind="used",
            supply_id=supply,
            quantity_milli=quantity,
            tub_id=case.tub.id,
            task_id=case.task.id,
            completion_id=closing.id,
        )
    usual = case.plan.usual_minor.get(case.task.id, 0)
    cost = usual if work.cost_minor is None else work.cost_minor
    if cost:
        fields.quantity("minor", cost, 1, 10**12)
        unit.add(
            EntryRow,
            on_date=on,
            kind="direct",
            category=spend_category(case.task.category).value,
            minor=cost,
            tub_id=case.tub.id,
            task_id=case.task.id,
            completion_id=closing.id,
        )
    return closing, cost, uses if planned is None else planned


def _planned(
    desk: Desk,
    unit: Unit,
    case: Case,
    closed: Occurrence | None,
    closing: Closing,
    work: Work,
) -> dict[SupplyId, int] | None:
    """Record the dose that was worked out for a task, None where there is none."""
    if closed is None or not isinstance(closed.reason, ReadingReason):
        return None
    if work.uses is not None or closing.at is None:
        return None
    # Loaded for these ticks alone: the chemistry would slow down all others.
    from tubcare.services.water_steps import StepRecord  # noqa: PLC0415  see above
    from tubcare.services.water_tick import record_planned  # noqa: PLC0415  see above

    record = StepRecord(
        tub=case.tub.id,
        at=closing.at,
        on=closing.on,
        person=ensure_person(unit, work.person or desk.actor),
        completion=closing.id,
        task=case.task.id,
    )
    return record_planned(desk, unit, closed, record)


def _usual_uses(connection: Connection, task: TaskId) -> dict[SupplyId, int]:
    rows = connection.execute(_USUAL_USES, {"of": task})
    return {SupplyId(row.supply_id): row.quantity_milli for row in rows}


def _enter(unit: Unit, case: Case, on: date) -> TubState | None:
    """Bring the tub into the state that the task ends in; facts of a later day stand."""
    turns = any(isinstance(trigger, SeasonTrigger) for trigger in case.task.triggers)
    if not turns and case.task.category is not Category.SEASON:
        # No card needs to be read for the daily upkeep.
        return None
    table = table_of(TaskRow)
    data = unit.connection.execute(
        select(table.c.card).where(table.c.id == case.task.id)
    ).scalar_one()
    state = card_from_data(data).enters
    if state is None:
        return None
    last = last_state(unit.connection, case.tub.id)
    if last is not None and (last.on_date > on or last.state == state.value):
        return None
    # The title tells where the change comes from, and finds it when the record is deleted.
    insert_state(unit, case.tub.id, state, on, case.task.title)
    return state
