"""In which order the additions of a plan go in, and how many of them before the next test."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from tubcare.water.balance import balance_of
from tubcare.water.compounds import ACIDS, CALCIUM_SALTS, Compound, shifted
from tubcare.water.equilibria import constants_at
from tubcare.water.equilibrium import at_rest_with_air, carbon_by
from tubcare.water.plan_model import StepKind
from tubcare.water.plan_search import rounds_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

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
    others = [addition for addition in ranked if kind_of(addition) not in _IN_TURNS]
    first = [a for a in others if kind_of(a) is StepKind.RAISE_ALKALINITY]
    last = [a for a in others if kind_of(a) is not StepKind.RAISE_ALKALINITY]
    if balance_of(start, water_c=request.test.water_c).ph < request.targets.ph.aim:
        turn.sort(key=lambda addition: kind_of(addition) is StepKind.ACID)
        turn = _within_rest(request, _after(start, first), turn)
    left = 0
    if rounds > 1 and any(addition.item is None for addition in turn):
        left, turn = rounds - 1, _until_test(request, start, [*first, *turn])[len(first) :]
    else:
        turn *= rounds
    return Order(additions=(*first, *turn, *last), turns_left=left)


def _within_rest(request: PlanRequest, start: Totals, turn: list[Addition]) -> list[Addition]:
    """Part an airing that would go beyond rest with the air: to the aim, and on after the acid."""
    water_c = request.test.water_c
    air = next((addition for addition in turn if addition.item is None), None)
    if air is None:
        return turn
    aired = _after(start, [air])
    rest_ph, _ = at_rest_with_air(aired, water_c=water_c)
    if balance_of(aired, water_c=water_c).ph <= rest_ph:
        return turn
    at_aim = carbon_by(constants_at(water_c), start, request.targets.ph.aim)
    ahead = min(air.mmol_l, start.carbon - at_aim)
    others = [addition for addition in turn if addition.item is not None]
    parted = (replace(air, mmol_l=ahead), *others, replace(air, mmol_l=air.mmol_l - ahead))
    return list(parted)


def _after(totals: Totals, additions: Iterable[Addition]) -> Totals:
    """Return the totals after these additions."""
    for addition in additions:
        totals = shifted(totals, addition.effect, addition.mmol_l)
    return totals


def _until_test(request: PlanRequest, start: Totals, additions: list[Addition]) -> list[Addition]:
    """Leave out the airing at the end of a turn where acid alone ends inside the range of pH.

    The pH climbs by itself then, and the next test tells how far.
    """
    *before, end = additions
    if end.item is not None:
        return additions
    ph = balance_of(_after(start, before), water_c=request.test.water_c).ph
    return before if ph >= request.targets.ph.low else additions
