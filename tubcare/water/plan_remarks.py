"""What a dosing plan has to say beside its steps."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tubcare.water.compounds import ACIDS, BASES
from tubcare.water.drift import DriftAdvice
from tubcare.water.plan_model import Advice, AdviceKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.water.drift import Outlook
    from tubcare.water.plan_choice import Choice
    from tubcare.water.plan_model import PlanRequest
    from tubcare.water.plan_order import Order
    from tubcare.water.reading import Totals

# Rounding, not a value outside. [mg/L]
_SLACK: Final = 0.05


def _correctors_lacking(request: PlanRequest, choice: Choice) -> Iterator[Advice]:
    """Yield which kind of product would lead into the ranges, where the shelf has none of it."""
    held = {item.product.compound for item in request.shelf}
    targets, end = request.targets, choice.found
    alkalinity = end.totals.alkalinity_mg_l
    high = end.ph > targets.ph.high or alkalinity > targets.alkalinity.high + _SLACK
    low = end.ph < targets.ph.low or alkalinity < targets.alkalinity.low - _SLACK
    for wanted, compounds, about in ((high, ACIDS, "acid"), (low, BASES, "base")):
        if wanted and not held & compounds:
            yield Advice(kind=AdviceKind.SHELF_LACKS, about=about)


def _turns_left(order: Order) -> Iterator[Advice]:
    if order.turns_left:
        yield Advice(kind=AdviceKind.MORE_TURNS, about="alkalinity", value=float(order.turns_left))


def remarks(
    request: PlanRequest, totals: Totals, choice: Choice, order: Order, outlook: Outlook
) -> Iterator[Advice]:
    """Yield what is to be said beside the steps."""
    targets = request.targets
    yield from _turns_left(order)
    if choice.found.violation > 0.0:
        yield Advice(kind=AdviceKind.NOT_REACHED, about="ph_alkalinity", value=choice.found.ph)
        yield from _correctors_lacking(request, choice)
    for name, window, value in (
        ("free_chlorine", targets.free_chlorine, totals.free_chlorine_mg_l),
        ("bromine", targets.bromine, totals.bromine_mg_l),
    ):
        if window is not None and value > window.high:
            yield Advice(kind=AdviceKind.SANITISER_HIGH, about=name, value=value)
    if totals.peroxide > 0.0 and targets.free_chlorine is not None:
        yield Advice(kind=AdviceKind.PEROXIDE_WITH_CHLORINE, about="peroxide")
    for addition in choice.found.additions:
        item = addition.item
        if item is None or item.left is None:
            continue
        amount = item.product.amount(addition.mmol_l, request.volume_l)
        if amount > item.left:
            yield Advice(
                kind=AdviceKind.STOCK_SHORT,
                about=item.product.name,
                value=amount - item.left,
                unit=item.product.unit,
            )
    kinds = {
        DriftAdvice.LOWER_ALKALINITY: AdviceKind.LOWER_ALKALINITY,
        DriftAdvice.LOWEST_ALKALINITY_STILL_DRIFTS: AdviceKind.DRIFTS_ANYWAY,
    }
    if outlook.advice in kinds:
        yield Advice(
            kind=kinds[outlook.advice],
            about="alkalinity",
            value=outlook.advised_alkalinity_mg_l,
        )
