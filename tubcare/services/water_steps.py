"""Ticking a step of the dosing plan: the dose, the stock, the ledger and the waits in one go."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.errors import AlreadyDoneError, InputError, RuleError
from tubcare.services.fills import Fill, insert_fill
from tubcare.services.household import ensure_person
from tubcare.services.measures import tub_named
from tubcare.services.moments import happened_at
from tubcare.services.topics import Topic
from tubcare.services.water_plan import plan_in
from tubcare.services.water_shelf import products_in
from tubcare.store.tables import DoseRow, UseRow, WaterStepRow
from tubcare.water.plan_model import StepKind

if TYPE_CHECKING:
    from datetime import date, datetime

    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.services.water_plan_model import PlannedStep, WaterPlan
    from tubcare.store.unit import Unit
    from tubcare.values import TubId

STEP_TOPICS = frozenset({Topic.MEASURES, Topic.UPKEEP, Topic.MONEY, Topic.STOCK})
_MILLI = 1000


def do_step(
    desk: Desk, tub: TubId | str | None, number: int, *, test_at: datetime | None = None
) -> PlannedStep:
    """Record that a step of the plan was done just now, with its dose, stock, cost and waits.

    Parameters
    ----------
    number
        As shown in the plan; the steps come one after the other.
    test_at
        The test that the shown plan stands on, so that a step of an old plan is not ticked.

    Raises
    ------
    AlreadyDoneError
        When somebody ticked it first.
    RuleError
        When a step before it is open, or a newer test has changed the plan.
    InputError
        When the plan has no such step.
    """
    with desk.read() as connection:
        place = tub_named(connection, tub)
    now = desk.now()
    day, _at = happened_at(desk, place.zone, None)
    with desk.write("plan_step", place.name, STEP_TOPICS) as unit:
        plan = plan_in(unit.connection, place, now)
        planned = _require_next(plan, number, test_at)
        who = ensure_person(unit, desk.actor)
        wait_until = now + timedelta(minutes=planned.step.retest_min)
        dose = fill = None
        if planned.step.portion is not None:
            dose = _dose(unit, place, planned, (day, now, wait_until), who)
        elif planned.step.kind is StepKind.CHANGE_WATER:
            change = Fill(litres=planned.step.change_l, kind="change", on=day, at=now)
            fill = insert_fill(unit, place.id, change)
        added = unit.add_once(
            WaterStepRow,
            ("tub_id", "test_at", "step"),
            tub_id=place.id,
            test_at=plan.test_at,
            step=number,
            kind=planned.step.kind.value,
            at=now,
            ready_at=now + timedelta(minutes=planned.step.wait_min),
            wait_until=wait_until,
            dose_id=dose,
            fill_id=fill,
        )
        if added is None:
            raise RuleError(f"step {number} was ticked at the same moment; look again")
    return planned


def _require_next(plan: WaterPlan, number: int, test_at: datetime | None) -> PlannedStep:
    if test_at is not None and plan.test_at != test_at:
        raise RuleError("a newer test has changed the plan; look at it again")
    found = next((each for each in plan.steps if each.number == number), None)
    if found is None:
        raise InputError("step", f"the plan has no step {number}")
    if found.done is not None:
        raise AlreadyDoneError(f"step {number}", "somebody", found.done.at)
    first = plan.next_step
    if first is not None and first.number != number:
        raise RuleError(f"step {first.number} comes first")
    return found


def _dose(
    unit: Unit,
    place: TubPlace,
    planned: PlannedStep,
    times: tuple[date, datetime, datetime],
    who: int,
) -> int:
    day, now, wait_until = times
    step = planned.step
    assert step.portion is not None  # noqa: S101  only called for steps that add something
    name = "" if step.product is None else step.product.name
    dose = unit.add(
        DoseRow,
        tub_id=place.id,
        supply_id=planned.supply,
        product=name,
        amount=step.portion.amount,
        unit=step.portion.unit,
        on_date=day,
        at=now,
        wait_until=wait_until,
        person_id=who,
    )
    product = next(
        (each for each in products_in(unit.connection) if each.supply == planned.supply), None
    )
    if product is not None:
        taken = round(step.portion.amount / product.size * _MILLI)
        unit.add(
            UseRow,
            on_date=day,
            kind="used",
            supply_id=product.supply,
            quantity_milli=max(1, taken),
            tub_id=place.id,
        )
    return dose
