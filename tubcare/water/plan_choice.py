"""The choice between products, and between dosing and changing water."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from tubcare.water import masses
from tubcare.water.balance import totals_of
from tubcare.water.compounds import (
    ACIDS,
    BASES,
    CALCIUM_SALTS,
    HYPOCHLORITES,
    ISOCYANURATES,
    Compound,
    shifted,
)
from tubcare.water.equilibria import constants_at
from tubcare.water.equilibrium import at_rest_with_air
from tubcare.water.plan_dilution import change_shares
from tubcare.water.plan_model import Advice, AdviceKind, ChangeOption
from tubcare.water.plan_search import AIRING, Addition, Corrector, Found
from tubcare.water.reading import mixed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.water.change import ChangeReason
    from tubcare.water.plan_model import PlanRequest, Window
    from tubcare.water.reading import Totals

_CHLORINES: Final = HYPOCHLORITES | ISOCYANURATES
# Draining and filling is work: beside the first, so many additions more for all water. Own choice.
_WHOLE_CHANGE_EFFORT: Final = 4
_LARGER_CHANGES: Final = (0.25, 0.5, 0.75, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """The additions chosen, the share of water replaced before them, and what to remark."""

    found: Found
    start: Totals
    share: float
    option: ChangeOption | None
    advice: tuple[Advice, ...]


def choose(request: PlanRequest, totals: Totals) -> Choice:
    """Return the best way, weighing partial changes against dosing alone."""
    alone = _dosed(request, totals)
    options = change_shares(request, totals)
    required = options.required
    candidates = [] if required else [(alone, 0.0)]
    if request.fill is not None:
        fill = totals_of(request.fill.test)
        candidates += [
            (_dosed(request, mixed(totals, fill, share)), share) for share in options.shares
        ]
    advice = list(options.advice)
    if not candidates:
        candidates = [(alone, 0.0)]
    found, share = min(candidates, key=lambda pair: _rank(request, *pair))
    if found.violation > 0.0:
        candidates += _fresher(request, totals, share)
        found, share = min(candidates, key=lambda pair: _rank(request, *pair))
    option = None
    if share > 0.0:
        option = _option(request, found, share, alone, options.reasons or ("ph_alkalinity",))
        kind = AdviceKind.CHANGE_NEEDED if required else AdviceKind.CHANGE_BEATS_DOSING
        advice.append(Advice(kind=kind, about="water", value=option.litres))
    start = totals
    if share > 0.0 and request.fill is not None:
        start = mixed(totals, totals_of(request.fill.test), share)
    return Choice(
        found=found,
        start=start,
        share=share,
        option=option,
        advice=(*advice, *_shelf_advice(request, start)),
    )


def _fresher(request: PlanRequest, totals: Totals, share: float) -> Iterator[tuple[Found, float]]:
    """Yield larger changes of water, for where no smaller one leads into the ranges."""
    if request.fill is None:
        return
    fill = totals_of(request.fill.test)
    for larger in _LARGER_CHANGES:
        if larger > share:
            yield _dosed(request, mixed(totals, fill, larger)), larger


def cost_minor(request: PlanRequest, found: Found, share: float) -> int:
    """Return what the additions and the water cost. [minor units].

    Parameters
    ----------
    share
        Of the water that is replaced. [-], 0..1
    """
    cost = sum(
        addition.item.cost_minor(addition.item.product.amount(addition.mmol_l, request.volume_l))
        for addition in found.additions
        if addition.item is not None
    )
    if request.fill is not None:
        cost += round(share * request.volume_l * request.fill.price_minor_per_m3 / 1000.0)
    return cost


def _rank(request: PlanRequest, found: Found, share: float) -> tuple[bool, float, int, int, float]:
    """Order of preference over all ways."""
    outside, violation, additions, distance = found.rank
    return (
        outside,
        violation,
        additions + _effort(share),
        cost_minor(request, found, share),
        distance,
    )


def _effort(share: float) -> int:
    """Return as how many additions a change counts: a little water is one, all of it five."""
    return 1 + round(_WHOLE_CHANGE_EFFORT * share) if share > 0.0 else 0


def _option(
    request: PlanRequest,
    found: Found,
    share: float,
    alone: Found,
    reasons: tuple[ChangeReason | str, ...],
) -> ChangeOption:
    """Return the change beside dosing alone."""
    return ChangeOption(
        litres=share * request.volume_l,
        reasons=reasons,
        additions=len(found.additions),
        cost_minor=cost_minor(request, found, share),
        additions_without=len(alone.additions),
        cost_without_minor=cost_minor(request, alone, 0.0),
    )


def _dosed(request: PlanRequest, totals: Totals) -> Found:
    """Return the best additions to these totals."""
    corrector = _corrector(request, totals)
    best: Found | None = None
    for before, after in _sanitised(request, totals):
        for more, ready in _with_calcium(request, after):
            found = corrector.best(ready, (*before, *more))
            # Cyanurate stays until the water is changed: ten milligrams weigh like half a range.
            cyanurate = (ready.cyanurate - totals.cyanurate) * masses.CYANURIC_ACID
            found = replace(found, distance=found.distance + cyanurate / 10.0)
            if best is None or found.rank < best.rank:
                best = found
    return best if best is not None else corrector.best(totals, ())


def _corrector(request: PlanRequest, totals: Totals) -> Corrector:
    """Return the search over acids, bases and airing."""
    items = [i for i in request.shelf if i.product.compound in ACIDS | BASES]
    high = request.targets.alkalinity.high / masses.ALKALINITY_EQUIVALENT
    capped = replace(totals, alkalinity=min(totals.alkalinity, high))
    rest_ph, _ = at_rest_with_air(capped, water_c=request.test.water_c)
    return Corrector(
        targets=request.targets,
        constants=constants_at(request.test.water_c),
        movers=(
            *((item, item.product.effect) for item in items),
            *(((None, AIRING),) if request.may_aerate else ()),
        ),
        highest_aired_ph=rest_ph,
    )


def _needs(request: PlanRequest, totals: Totals) -> tuple[frozenset[Compound], float]:
    """Return which compounds sanitise here and how many mmol/L are missing."""
    targets = request.targets
    rows: tuple[tuple[Window | None, float, float, frozenset[Compound]], ...] = (
        (targets.free_chlorine, totals.free_chlorine_mg_l, masses.CHLORINE, _CHLORINES),
        (
            targets.bromine,
            totals.bromine_mg_l,
            masses.BROMINE,
            frozenset({Compound.BROMINE_TABLET}),
        ),
        (
            targets.peroxide,
            totals.peroxide_mg_l,
            masses.HYDROGEN_PEROXIDE,
            frozenset({Compound.HYDROGEN_PEROXIDE}),
        ),
    )
    for window, value, mass, compounds in rows:
        if window is not None and value < window.low:
            return compounds, (window.aim - value) / mass
    return frozenset(), 0.0


def _sanitised(
    request: PlanRequest, totals: Totals
) -> Iterator[tuple[tuple[Addition, ...], Totals]]:
    """Yield each way to bring the sanitiser to its aim; nothing where none helps."""
    compounds, missing = _needs(request, totals)
    fitting = [item for item in request.shelf if item.product.compound in compounds]
    ways = 0
    for item in fitting:
        effect = item.product.effect
        gain = effect.chlorine or effect.bromine or effect.peroxide
        mmol_l = missing / gain
        after = shifted(totals, effect, mmol_l)
        if effect.cyanurate and after.cyanuric_acid_mg_l > request.targets.cyanuric_acid_high:
            continue
        ways += 1
        yield (Addition(item=item, effect=effect, mmol_l=mmol_l),), after
    if not ways:
        yield (), totals


def _with_calcium(
    request: PlanRequest, totals: Totals
) -> Iterator[tuple[tuple[Addition, ...], Totals]]:
    """Yield each way to bring the calcium to its aim."""
    window = request.targets.calcium
    items = [i for i in request.shelf if i.product.compound in CALCIUM_SALTS]
    if window is None or totals.calcium_mg_l >= window.low - 1e-9 or not items:
        yield (), totals
        return
    missing = (window.aim - totals.calcium_mg_l) / masses.CALCIUM_CARBONATE
    for item in items:
        effect = item.product.effect
        yield (
            (Addition(item=item, effect=effect, mmol_l=missing),),
            shifted(totals, effect, missing),
        )


def _shelf_advice(request: PlanRequest, totals: Totals) -> Iterator[Advice]:
    """Yield what the shelf lacks and what it holds but should not be used."""
    compounds, missing = _needs(request, totals)
    held = [item for item in request.shelf if item.product.compound in compounds]
    if missing > 0.0 and not held:
        yield Advice(kind=AdviceKind.SHELF_LACKS, about="sanitiser")
    high = request.targets.cyanuric_acid_high
    for item in held:
        effect = item.product.effect
        if effect.cyanurate and missing > 0.0:
            after = shifted(totals, effect, missing / effect.chlorine).cyanuric_acid_mg_l
            if after > high:
                yield Advice(
                    kind=AdviceKind.CYANURATE_LEFT_OUT, about=item.product.name, value=after
                )
    window = request.targets.calcium
    salts = any(item.product.compound in CALCIUM_SALTS for item in request.shelf)
    if window is not None and totals.calcium_mg_l < window.low and not salts:
        yield Advice(kind=AdviceKind.SHELF_LACKS, about="calcium", value=window.aim)
