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
    the pH is below its aim already. Airing takes days, and in a tub without sanitiser nobody may
    wait for all of them: of several turns with air only the first stands in the plan, and the
    sanitiser follows it.
    """
    order = list(StepKind)
    rounds = rounds_of(additions)
    ranked = sorted(additions, key=lambda addition: order.index(kind_of(addition)))
    turn = [
        replace(addition, mmol_l=addition.mmol_l / rounds)
        for addition in ranked
        if kind_of(addition) in _IN_TURNS
    ]
    if balance_of(start, water_c=request.test.water_c).ph < request.targets.ph.aim:
        turn.sort(key=lambda addition: kind_of(addition) is StepKind.ACID)
    others = [addition for addition in ranked if kind_of(addition) not in _IN_TURNS]
    first = [a for a in others if kind_of(a) is StepKind.RAISE_ALKALINITY]
    last = [a for a in others if kind_of(a) is not StepKind.RAISE_ALKALINITY]
    left = 0
    if rounds > 1 and any(addition.item is None for addition in turn):
        left, turn = rounds - 1, _until_test(request, start, [*first, *turn])[len(first) :]
    else:
        turn *= rounds
    return Order(additions=(*first, *turn, *last), turns_left=left)


def _until_test(request: PlanRequest, start: Totals, additions: list[Addition]) -> list[Addition]:
    """Leave out the airing at the end of a turn where acid alone ends inside the range of pH.

    The pH climbs by itself then, and the next test tells how far.
    """
    *before, end = additions
    if end.item is not None:
        return additions
    at = start
    for addition in before:
        at = shifted(at, addition.effect, addition.mmol_l)
    ph = balance_of(at, water_c=request.test.water_c).ph
    return before if ph >= request.targets.ph.low else additions
