"""In which order the additions of a plan go in, and how many of them before the next test."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.water.balance import balance_of
from tubcare.water.compounds import ACIDS, CALCIUM_SALTS, Compound, shifted
from tubcare.water.plan_model import StepKind
from tubcare.water.plan_search import rounds_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.water.plan_model import PlanRequest
    from tubcare.water.plan_search import Addition
    from tubcare.water.reading import Totals

_IN_TURNS: Final = frozenset({StepKind.ACID, StepKind.BASE, StepKind.AERATE})
_KINDS: Final[Mapping[Compound, StepKind]] = MappingProxyType(
    dict.fromkeys(ACIDS, StepKind.ACID)
    | dict.fromkeys(CALCIUM_SALTS, StepKind.CALCIUM)
    | {
        Compound.SODIUM_BICARBONATE: StepKind.RAISE_ALKALINITY,
        Compound.SODA_ASH: StepKind.BASE,
        Compound.CAUSTIC_SODA: StepKind.BASE,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """The additions in their order; `turns_left` turns of acid and air follow the next test."""

    additions: tuple[Addition, ...]
    turns_left: int


def kind_of(addition: Addition) -> StepKind:
    """Return what an addition does."""
    if addition.item is None:
        return StepKind.AERATE
    return kind_of_compound(addition.item.product.compound)


def kind_of_compound(compound: Compound) -> StepKind:
    """Return what a compound is added for."""
    return _KINDS.get(compound, StepKind.SANITISER)


def ordered(request: PlanRequest, start: Totals, additions: tuple[Addition, ...]) -> Order:
    """Return the additions in the order of a plan, as far as the next test.

    Acid goes in turns with airing or a base where both occur, acid last within each turn where
    the pH is below its aim already. Airing takes days, and no tub may wait for them without its
    sanitiser, nor acid be dosed for a pH that nobody read: airing ends a plan.
    """
    order = list(StepKind)
    rounds = rounds_of(additions)
    ranked = sorted(additions, key=lambda addition: order.index(kind_of(addition)))
    turn = [
        replace(addition, mmol_l=addition.mmol_l / rounds)
        for addition in ranked
        if kind_of(addition) in _IN_TURNS
    ]
    acid_last = balance_of(start, water_c=request.test.water_c).ph < request.targets.ph.aim
    if acid_last:
        turn.sort(key=lambda addition: kind_of(addition) is StepKind.ACID)
    others = [addition for addition in ranked if kind_of(addition) not in _IN_TURNS]
    first = [a for a in others if kind_of(a) is StepKind.RAISE_ALKALINITY]
    last = [a for a in others if kind_of(a) is not StepKind.RAISE_ALKALINITY]
    air = [addition for addition in turn if addition.item is None]
    if not air:
        return Order(additions=(*first, *(turn * rounds), *last), turns_left=0)
    acid = [addition for addition in turn if addition.item is not None]
    if acid and acid_last:
        return Order(additions=(*first, *last, *air), turns_left=rounds)
    if rounds > 1 and _ends_inside(request, start, [*first, *acid]):
        # The pH climbs by itself then, and the next test tells how far.
        air = []
    return Order(additions=(*first, *acid, *last, *air), turns_left=rounds - 1)


def _ends_inside(request: PlanRequest, start: Totals, additions: list[Addition]) -> bool:
    """Return whether additions leave the pH above the low end of its range."""
    at = start
    for addition in additions:
        at = shifted(at, addition.effect, addition.mmol_l)
    return balance_of(at, water_c=request.test.water_c).ph >= request.targets.ph.low
