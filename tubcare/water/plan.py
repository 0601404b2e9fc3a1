"""The dosing plan: from a reading and the tub's ranges to numbered steps.

Mass balance plus equilibrium, not rules of thumb. Orders and waits are common practice without a
source: water first, then alkalinity, acid or base, calcium, the sanitiser, and airing last, after
which only a test tells how far it came.
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.water.balance import balance_of, reading_of, totals_of
from tubcare.water.compounds import Compound, shifted
from tubcare.water.drift import month_ahead
from tubcare.water.measures import CLOSE, portion
from tubcare.water.plan_choice import choose
from tubcare.water.plan_model import (
    DosingPlan,
    Expected,
    PlanRequest,
    PlanStep,
    StepKind,
)
from tubcare.water.plan_order import kind_of, kind_of_compound, ordered
from tubcare.water.plan_portions import aired, shares_of
from tubcare.water.plan_remarks import remarks

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from tubcare.water.balance import Balance
    from tubcare.water.drift import Outlook
    from tubcare.water.plan_choice import Choice
    from tubcare.water.plan_model import Targets
    from tubcare.water.plan_order import Order
    from tubcare.water.plan_search import Addition
    from tubcare.water.reading import Totals, WaterTest

# Minutes with the pump running before the next step, and before a new test: common practice for
# small tubs, no source; the label's own time wins where it is longer.
_WAIT_MIN: Final[Mapping[StepKind, int]] = MappingProxyType(
    {
        StepKind.CHANGE_WATER: 60,
        StepKind.RAISE_ALKALINITY: 60,
        StepKind.ACID: 60,
        StepKind.BASE: 60,
        StepKind.AERATE: 24 * 60,
        StepKind.CALCIUM: 120,
        StepKind.SANITISER: 30,
    }
)
_RETEST_MIN: Final[Mapping[StepKind, int]] = MappingProxyType(
    {
        StepKind.CHANGE_WATER: 120,
        StepKind.RAISE_ALKALINITY: 240,
        StepKind.ACID: 240,
        StepKind.BASE: 240,
        StepKind.AERATE: 24 * 60,
        StepKind.CALCIUM: 240,
        StepKind.SANITISER: 60,
    }
)
# Rounding, not a value outside. [mg/L]
_SLACK = 0.05
_WEIGHED_PH, _WEIGHED_MG_L = 0.02, 0.5
# Of the whole dose: what a portion may miss while others follow that make up for it. Own choice.
_CLOSE_BETWEEN = 0.20


def plan(request: PlanRequest) -> DosingPlan:
    """Return what to add, how much, in which order, and what to expect after each step.

    Raises
    ------
    InputError
        If the reading contradicts itself (see `totals_of`).

    References
    ----------
    Own derivation on the full balance (`tubcare.water.balance`); stoichiometry in
    `tubcare.water.compounds`.
    """
    totals = totals_of(request.test)
    choice = choose(request, totals)
    order = ordered(request, choice.start, choice.found.additions)
    steps = tuple(_steps(request, choice, order))
    ends = steps and choice.found.violation == 0.0 and not order.turns_left
    if ends and not _balanced(request.targets, steps[-1]):
        # Scoops too coarse for this tub: what they miss would end outside. By weight, then.
        steps = tuple(_steps(replace(request, measures=()), choice, order))
    before = balance_of(totals, water_c=request.test.water_c, ph=request.test.ph)
    final = steps[-1].expected if steps else _expected(before)
    outlook = _outlook(request, final)
    additions = [a for a in choice.found.additions if a.item is not None]
    return DosingPlan(
        steps=steps,
        final=final,
        reached=choice.found.violation == 0.0 and _met(request.targets, final.test),
        additions=len(additions),
        cost_minor=sum(step.cost_minor for step in steps),
        retest_min=max((step.retest_min for step in steps), default=0),
        change=choice.option,
        outlook=outlook,
        advice=(*choice.advice, *remarks(request, totals, choice, order, outlook)),
    )


def retest_minutes(compound: Compound) -> int:
    """Return how long after a dose a new test tells something; the label may say longer. [min]."""
    return _RETEST_MIN[kind_of_compound(compound)]


def _steps(request: PlanRequest, choice: Choice, order: Order) -> Iterator[PlanStep]:
    """Yield the steps in their order, each from the reading the one before ends at."""
    at = choice.start
    if choice.share > 0.0 and choice.option is not None and request.fill is not None:
        litres = choice.option.litres
        yield PlanStep(
            kind=StepKind.CHANGE_WATER,
            compound=None,
            product=None,
            portion=None,
            part=1,
            parts=1,
            change_l=litres,
            wait_min=_WAIT_MIN[StepKind.CHANGE_WATER],
            retest_min=_RETEST_MIN[StepKind.CHANGE_WATER],
            expected=_expected(balance_of(at, water_c=request.test.water_c)),
            cost_minor=round(litres * request.fill.price_minor_per_m3 / 1000.0),
        )
    owed: dict[Compound, float] = {}
    for addition in order.additions:
        for step, after in _portions(request, at, addition, owed):
            at = after
            yield step


def _portions(
    request: PlanRequest, totals: Totals, addition: Addition, owed: dict[Compound, float]
) -> Iterator[tuple[PlanStep, Totals]]:
    """Yield the portions of one addition, with the totals after each as measured out.

    `owed` carries what rounding left over [g or mL] to the next portion of the same product.
    """
    kind = kind_of(addition)
    water_c = request.test.water_c
    if addition.item is None:
        effect, mmol_l = addition.effect, addition.mmol_l
        after, wait = aired(totals, effect, mmol_l, request.exchange, water_c=water_c)
        step = _step(kind, addition, (1, 1), balance_of(after, water_c=water_c))
        yield replace(step, wait_min=wait, retest_min=wait), after
        return
    product = addition.item.product
    shares = shares_of(totals, addition.effect, addition.mmol_l, water_c=water_c)
    whole = product.amount(addition.mmol_l, request.volume_l)
    # No portion misses by more than half of the least, or the next could not make up for it.
    between = min(_CLOSE_BETWEEN, 0.5 * min(shares)) * whole
    at = totals
    for part, share in enumerate(shares, 1):
        wanted = whole * share + owed.get(product.compound, 0.0)
        amount = max(0.5 * whole * share, wanted)
        may_miss = CLOSE * whole if part == len(shares) else between
        measured = portion(product, amount, request.measures, may_miss=may_miss)
        owed[product.compound] = wanted - measured.amount
        at = shifted(at, addition.effect, product.mmol_l(measured.amount, request.volume_l))
        state = balance_of(at, water_c=water_c)
        step = _step(kind, addition, (part, len(shares)), state)
        yield (
            replace(
                step,
                portion=measured,
                cost_minor=addition.item.cost_minor(measured.amount),
            ),
            at,
        )


def _step(
    kind: StepKind,
    addition: Addition,
    counts: tuple[int, int],
    state: Balance,
) -> PlanStep:
    """Return a step without its amount."""
    product = None if addition.item is None else addition.item.product
    return PlanStep(
        kind=kind,
        compound=None if product is None else product.compound,
        product=product,
        portion=None,
        part=counts[0],
        parts=counts[1],
        change_l=0.0,
        wait_min=_WAIT_MIN[kind],
        retest_min=_RETEST_MIN[kind],
        expected=_expected(state),
        cost_minor=0,
    )


def _expected(state: Balance) -> Expected:
    """Return the reading that a balance would give."""
    return Expected(test=reading_of(state), saturation_index=state.saturation_index)


def _balanced(targets: Targets, last: PlanStep) -> bool:
    """Return whether pH and alkalinity end inside, up to what weighing to three figures misses."""
    test = last.expected.test
    return targets.ph.contains(test.ph, slack=_WEIGHED_PH) and targets.alkalinity.contains(
        test.alkalinity_mg_l, slack=_WEIGHED_MG_L
    )


def _met(targets: Targets, test: WaterTest) -> bool:
    """Return whether calcium and sanitiser end in their ranges too.

    A sanitiser above its range falls by itself.
    """
    calcium = targets.calcium is None or targets.calcium.contains(test.calcium_mg_l, slack=_SLACK)
    sanitised = all(
        window is None or value >= window.low - _SLACK
        for window, value in (
            (targets.free_chlorine, test.free_chlorine_mg_l),
            (targets.bromine, test.bromine_mg_l),
            (targets.peroxide, test.peroxide_mg_l),
        )
    )
    return calcium and sanitised and test.cyanuric_acid_mg_l <= targets.cyanuric_acid_high + _SLACK


def _outlook(request: PlanRequest, final: Expected) -> Outlook:
    """Return the month after the plan, the sanitiser taken as used up."""
    targets = request.targets
    totals = totals_of(final.test)
    used = replace(
        totals,
        chlorine=0.0,
        bromine=0.0,
        alkalinity=totals.alkalinity - totals.chlorine - totals.bromine,
    )
    return month_ahead(
        balance_of(used, water_c=request.test.water_c),
        ph_low=targets.ph.low,
        ph_aim=targets.ph.aim,
        ph_high=targets.ph.high,
        lowest_alkalinity_mg_l=targets.alkalinity.low,
        exchange=request.exchange,
    )
