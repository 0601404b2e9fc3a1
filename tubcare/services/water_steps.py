"""A step of the dosing plan written down: dose, stock, ledger and waits in one go."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.errors import InputError, RuleError, StepDoneError
from tubcare.services.fills import Fill, insert_fill
from tubcare.services.water_shelf import products_in
from tubcare.store.tables import DoseRow, UseRow, WaterStepRow
from tubcare.water.plan_model import StepKind

if TYPE_CHECKING:
    from datetime import date, datetime

    from tubcare.services.water_plan_model import PlannedStep, WaterPlan
    from tubcare.services.water_shelf import ShelfProduct
    from tubcare.store.unit import Unit
    from tubcare.values import CompletionId, PersonId, SupplyId, TaskId, TubId

_MILLI = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRecord:
    """What is done in which tub, when, by whom, and as the work of which task."""

    tub: TubId
    at: datetime
    on: date
    person: PersonId
    completion: CompletionId | None = None
    task: TaskId | None = None


def record_step(
    unit: Unit, test_at: datetime, planned: PlannedStep, record: StepRecord
) -> dict[SupplyId, int]:
    """Write down one step inside a running use case; return what it took from the shelf.

    Raises
    ------
    RuleError
        When somebody ticked it at the same moment.
    """
    step = planned.step
    wait_until = record.at + timedelta(minutes=step.retest_min)
    dose = fill = None
    uses: dict[SupplyId, int] = {}
    if step.portion is not None:
        product = _on_shelf(unit, planned)
        dose, taken = insert_dose(unit, product, step.portion.amount, wait_until, record)
        uses = {product.supply: taken}
    elif step.kind is StepKind.CHANGE_WATER:
        change = Fill(
            litres=step.change_l,
            kind="change",
            on=record.on,
            at=record.at,
            completion=record.completion,
        )
        fill = insert_fill(unit, record.tub, change)
    added = unit.add_once(
        WaterStepRow,
        ("tub_id", "test_at", "step"),
        tub_id=record.tub,
        test_at=test_at,
        step=planned.number,
        kind=step.kind.value,
        at=record.at,
        ready_at=record.at + timedelta(minutes=step.wait_min),
        wait_until=wait_until,
        dose_id=dose,
        fill_id=fill,
    )
    if added is None:
        raise RuleError(f"step {planned.number} was ticked at the same moment; look again")
    return uses


def require_next(plan: WaterPlan, number: int, test_at: datetime | None) -> PlannedStep:
    """Return the step of that number, which must be the next one of this very plan.

    Raises
    ------
    StepDoneError
        When it was ticked before.
    RuleError
        When a step before it is open, or a newer test has changed the plan.
    InputError
        When the plan has no such step.
    """
    if test_at is not None and plan.test_at != test_at:
        raise RuleError("a newer test has changed the plan; look at it again")
    found = next((each for each in plan.steps if each.number == number), None)
    if found is None:
        raise InputError("step", f"the plan has no step {number}")
    if found.done is not None:
        raise StepDoneError(number, found.done.who, found.done.at)
    first = plan.next_step
    if first is not None and first.number != number:
        raise RuleError(f"step {first.number} comes first")
    return found


def _on_shelf(unit: Unit, planned: PlannedStep) -> ShelfProduct:
    """Return what a step takes; the plan was made in this transaction of what is there."""
    return next(each for each in products_in(unit.connection) if each.supply == planned.supply)


def taken_milli(product: ShelfProduct, amount: float) -> int:
    """Return what an amount [g or mL] of a product takes, in thousandths of the supply's unit."""
    return max(1, round(amount / product.size * _MILLI))


def insert_dose(
    unit: Unit, product: ShelfProduct, amount: float, wait_until: datetime, record: StepRecord
) -> tuple[int, int]:
    """Write down an amount [g or mL] of a product, and take it off the shelf.

    Returns the id of the dose, and what it took in thousandths of the supply's unit. A replay
    values it.
    """
    label = product.label
    dose = unit.add(
        DoseRow,
        tub_id=record.tub,
        supply_id=product.supply,
        product=label.name,
        amount=float(amount),
        unit=label.unit,
        on_date=record.on,
        at=record.at,
        wait_until=wait_until,
        person_id=record.person,
        completion_id=record.completion,
    )
    taken = taken_milli(product, amount)
    unit.add(
        UseRow,
        on_date=record.on,
        kind="used",
        supply_id=product.supply,
        quantity_milli=taken,
        tub_id=record.tub,
        task_id=record.task,
        completion_id=record.completion,
        dose_id=dose,
    )
    return dose, taken
