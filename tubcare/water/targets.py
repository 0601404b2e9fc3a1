"""The tub's ranges as the dosing plan needs them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.water.change import ChangeLimits
from tubcare.water.plan_model import Targets, Window
from tubcare.water.ranges import Quantity

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.water.ranges import Range
    from tubcare.water.reading import WaterTest

# Where a person opened an end altogether: beyond what a test can read.
_OPEN_HIGH = 1000.0
_OPEN_CYANURATE_MG_L = 500.0


def targets_of(ranges: Mapping[Quantity, Range], fill: WaterTest | None) -> Targets:
    """Return the targets of a plan; pH and alkalinity are in every book of ranges.

    Dissolved solids may rise as far above the fill water as a change of water allows; without a
    test of the fill water they are left alone.
    """
    cyanurate = ranges.get(Quantity.CYANURIC_ACID)
    chloride = ranges.get(Quantity.CHLORIDE)
    combined = ranges.get(Quantity.COMBINED_CHLORINE)
    return Targets(
        ph=_window(ranges[Quantity.PH]),
        alkalinity=_window(ranges[Quantity.ALKALINITY]),
        calcium=_maybe(ranges, Quantity.CALCIUM),
        free_chlorine=_maybe(ranges, Quantity.FREE_CHLORINE),
        bromine=_maybe(ranges, Quantity.BROMINE),
        peroxide=_maybe(ranges, Quantity.PEROXIDE),
        cyanuric_acid_high=_high(cyanurate, _OPEN_CYANURATE_MG_L),
        chloride_high=None if chloride is None else chloride.high,
        solids_high=_solids(fill),
        combined_high=None if combined is None else combined.high,
    )


def _maybe(ranges: Mapping[Quantity, Range], quantity: Quantity) -> Window | None:
    found = ranges.get(quantity)
    return None if found is None else _window(found)


def _window(limits: Range) -> Window:
    low = 0.0 if limits.low is None else limits.low
    high = max(_OPEN_HIGH, low) if limits.high is None else limits.high
    return Window(low=low, aim=min(max(limits.target, low), high), high=high)


def _high(limits: Range | None, otherwise: float) -> float:
    return otherwise if limits is None or limits.high is None else limits.high


def _solids(fill: WaterTest | None) -> float | None:
    over = ChangeLimits().solids_over_fill_mg_l
    if fill is None or fill.tds_mg_l is None or over is None:
        return None
    return fill.tds_mg_l + over
