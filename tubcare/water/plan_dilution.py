"""What only fresh water lowers: how much of the water to replace, and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.water.balance import totals_of
from tubcare.water.change import ChangeReason, fraction_to_reach
from tubcare.water.plan_model import Advice, AdviceKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.water.plan_model import PlanRequest, Window
    from tubcare.water.reading import Totals

# A change that only just reaches a limit is over it again with the next dose. Own choice.
_BELOW_LIMIT = 0.9
# Nobody leaves the last twentieth in the tub.
_WHOLE = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Shares:
    """Shares of water worth replacing, and why."""

    shares: tuple[float, ...]
    reasons: tuple[ChangeReason | str, ...]
    required: bool
    advice: tuple[Advice, ...]


def change_shares(request: PlanRequest, totals: Totals) -> Shares:
    """Return the shares to weigh: what only dilution lowers, then what it might save."""
    targets = request.targets
    if request.fill is None:
        return Shares(shares=(), reasons=(), required=False, advice=_too_high(request, totals))
    fill = totals_of(request.fill.test)
    needed, reasons, advice = 0.0, list[ChangeReason | str](), list[Advice]()
    for reason, value, limit, fill_value in _only_diluted(request, totals, fill):
        if value <= limit:
            continue
        wanted = max(limit * _BELOW_LIMIT, min(limit, fill_value + 0.1 * limit))
        share = fraction_to_reach(value, wanted, fill_value)
        if share is None:
            advice.append(Advice(kind=AdviceKind.FILL_WATER_NO_HELP, about=str(reason)))
            continue
        reasons.append(reason)
        needed = max(needed, share)
    shares = [needed] if needed > 0.0 else []
    alkalinity = targets.alkalinity
    if not alkalinity.contains(totals.alkalinity_mg_l):
        span = fill.alkalinity_mg_l - totals.alkalinity_mg_l
        aims = (
            alkalinity.aim,
            _inside_of(alkalinity.high, alkalinity),
            _inside_of(alkalinity.low, alkalinity),
        )
        ways = [(wanted - totals.alkalinity_mg_l) / span for wanted in aims] if span else []
        ways = [share for share in ways if needed < share <= 1.0]
        shares += ways
        if ways and not needed:
            reasons.append("alkalinity")
    return Shares(
        shares=tuple(1.0 if share > _WHOLE else share for share in shares),
        reasons=tuple(reasons),
        required=needed > 0.0,
        advice=tuple(advice),
    )


def _only_diluted(
    request: PlanRequest, totals: Totals, fill: Totals
) -> Iterator[tuple[ChangeReason | str, float, float, float]]:
    """Yield what no product takes out: reason, value, limit, value in the fill water. [mg/L]."""
    targets = request.targets
    yield (
        ChangeReason.CYANURIC_ACID,
        totals.cyanuric_acid_mg_l,
        targets.cyanuric_acid_high,
        fill.cyanuric_acid_mg_l,
    )
    if targets.combined_high is not None:
        yield "combined_chlorine", request.combined_mg_l, targets.combined_high, 0.0
    if targets.calcium is not None:
        yield "calcium", totals.calcium_mg_l, targets.calcium.high, fill.calcium_mg_l
    if targets.chloride_high is not None and request.test.chloride_mg_l is not None:
        yield (
            ChangeReason.CHLORIDE,
            totals.chloride_mg_l,
            targets.chloride_high,
            fill.chloride_mg_l,
        )
    if targets.solids_high is not None and request.test.tds_mg_l is not None:
        yield (
            ChangeReason.DISSOLVED_SOLIDS,
            totals.dissolved_solids_mg_l,
            targets.solids_high,
            fill.dissolved_solids_mg_l,
        )


def _too_high(request: PlanRequest, totals: Totals) -> tuple[Advice, ...]:
    """Return a remark for all that only fresh water lowers, where no fill water is known."""
    return tuple(
        Advice(kind=AdviceKind.CHANGE_NEEDED, about=str(reason), value=value)
        for reason, value, limit, _ in _only_diluted(request, totals, totals)
        if value > limit
    )


def _inside_of(end: float, window: Window) -> float:
    """Return a value a tenth of the way from an end of a range to its aim."""
    return end + 0.1 * (window.aim - end)
