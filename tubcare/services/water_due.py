"""What the dosing plan worked out for a task that a reading made due."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.care.model import ReadingReason
from tubcare.errors import OutOfRangeError
from tubcare.services.measures import tub_named
from tubcare.services.water_plan import plan_in
from tubcare.services.water_shelf import products_in
from tubcare.services.water_steps import taken_milli
from tubcare.water.plan_model import StepKind

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.care.model import Occurrence
    from tubcare.services.desk import Desk
    from tubcare.services.water_plan_model import PlannedStep, WaterPlan
    from tubcare.services.water_shelf import ShelfProduct
    from tubcare.services.week import DueItem
    from tubcare.values import SupplyId, TubId

_SANITISE: Final = frozenset({StepKind.SANITISER})
_FRESH: Final = frozenset({StepKind.CHANGE_WATER})
# Which steps answer to a reading outside its range.
ANSWERS: Final[Mapping[str, frozenset[StepKind]]] = MappingProxyType(
    {
        "ph": frozenset(
            {StepKind.ACID, StepKind.BASE, StepKind.AERATE, StepKind.RAISE_ALKALINITY}
        ),
        "alkalinity_mg_l": frozenset({StepKind.RAISE_ALKALINITY, StepKind.ACID, *_FRESH}),
        "hardness_mg_l": frozenset({StepKind.CALCIUM, *_FRESH}),
        "free_chlorine_mg_l": _SANITISE,
        "bromine_mg_l": _SANITISE,
        "peroxide_mg_l": _SANITISE,
        "combined_chlorine_mg_l": _FRESH,
        "cyanurate_mg_l": _FRESH,
        "chloride_mg_l": _FRESH,
        "tds_mg_l": _FRESH,
    }
)


def asked_of(occurrence: Occurrence | None) -> frozenset[StepKind]:
    """Return which steps of a plan an occurrence asks for; none unless a reading made it due."""
    if occurrence is None or not isinstance(occurrence.reason, ReadingReason):
        return frozenset()
    return ANSWERS.get(occurrence.reason.condition.quantity, frozenset())


def open_steps(plan: WaterPlan, kinds: frozenset[StepKind]) -> tuple[PlannedStep, ...]:
    """Return the steps of these kinds that are not done."""
    return tuple(each for each in plan.steps if each.done is None and each.step.kind in kinds)


def plan_of(connection: Connection, tub: TubId, now: datetime) -> WaterPlan:
    """Return the plan of a tub inside a running transaction."""
    return plan_in(connection, tub_named(connection, tub), now)


def _plan_or_none(connection: Connection, tub: TubId, now: datetime) -> WaterPlan | None:
    """Return the plan of a tub, None where its readings lie outside what the formulas hold for.

    The list of what is due must not fail with one odd reading; the page of the water tells it.
    """
    try:
        return plan_of(connection, tub, now)
    except OutOfRangeError:
        return None


def with_doses(desk: Desk, items: Sequence[DueItem]) -> tuple[DueItem, ...]:
    """Return the items, those that a reading made due with the dose that was worked out."""
    asking = {item.tub for item in items if asked_of(item.occurrence)}
    if not asking:
        return tuple(items)
    now = desk.now()
    with desk.read() as connection:
        plans = {tub: _plan_or_none(connection, tub, now) for tub in asking}
        products = {each.supply: each for each in products_in(connection)}
    found = []
    for item in items:
        kinds, plan = asked_of(item.occurrence), plans.get(item.tub)
        if not kinds or plan is None:
            found.append(item)
            continue
        steps = open_steps(plan, kinds)
        cautions = dict.fromkeys(text for each in steps for text in each.cautions)
        added = tuple(each.step for each in steps)
        takes = _takes(steps, products)
        found.append(replace(item, to_add=added, cautions=tuple(cautions), takes=takes))
    return tuple(found)


def _takes(
    steps: Sequence[PlannedStep], products: Mapping[SupplyId, ShelfProduct]
) -> dict[SupplyId, int]:
    """Return what the doses of some steps take from the shelf, as ticking them records it."""
    found: dict[SupplyId, int] = {}
    for each in steps:
        if each.supply is not None and each.step.portion is not None:
            taken = taken_milli(products[each.supply], each.step.portion.amount)
            found[each.supply] = found.get(each.supply, 0) + taken
    return found
