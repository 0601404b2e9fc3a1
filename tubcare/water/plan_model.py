"""What goes into a dosing plan and what comes out of it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.water.drift import OPEN_WATER, Exchange
from tubcare.water.limits import check

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.water.change import ChangeReason
    from tubcare.water.compounds import Compound
    from tubcare.water.drift import Outlook
    from tubcare.water.measures import Measure, Portion
    from tubcare.water.products import Product
    from tubcare.water.reading import WaterTest


# Over nothing, and below what any counter holds. [g or mL]
_PACK = (1e-9, 1e15)


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Where a value should be, and what to dose for once it is outside."""

    low: float
    aim: float
    high: float

    def __post_init__(self) -> None:
        """Refuse a window out of order."""
        if not -math.inf < self.low <= self.aim <= self.high < math.inf:
            raise InputError("aim", "low, aim and high must be in this order")

    def contains(self, value: float, *, slack: float = 0.0) -> bool:
        """Return whether a value lies inside, ends included."""
        return self.low - slack <= value <= self.high + slack


@dataclass(frozen=True, slots=True, kw_only=True)
class Targets:
    """The tub's ranges as the plan needs them; None leaves a quantity alone.

    pH [-]; alkalinity and calcium as CaCO3 [mg/L]; chlorine as Cl2, bromine as Br2, peroxide,
    cyanuric acid and chloride. [mg/L]
    """

    ph: Window
    alkalinity: Window
    calcium: Window | None = None
    free_chlorine: Window | None = None
    bromine: Window | None = None
    peroxide: Window | None = None
    cyanuric_acid_high: float = 30.0
    chloride_high: float | None = None
    solids_high: float | None = None
    combined_high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfItem:
    """A product at hand: how much is left [g or mL; None: enough] and what a pack cost.

    `pack_price_minor` in minor units of the logbook's currency for `pack_amount` g or mL.
    """

    product: Product
    left: float | None = None
    pack_price_minor: int = 0
    pack_amount: float = 1000.0

    def __post_init__(self) -> None:
        """Refuse a pack without contents and less than nothing left."""
        check("pack_amount", self.pack_amount, *_PACK)
        if self.left is not None:
            check("left", self.left, 0.0, _PACK[1])

    def cost_minor(self, amount: float) -> int:
        """Return what an amount [g or mL] costs, in minor units."""
        return round(self.pack_price_minor * amount / self.pack_amount)


@dataclass(frozen=True, slots=True, kw_only=True)
class FillWater:
    """Water at hand for a change: its stored test and price per 1000 L in minor units."""

    test: WaterTest
    price_minor_per_m3: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRequest:
    """Everything a plan is drawn from.

    Attributes
    ----------
    test
        The reading, at the tub's temperature.
    volume_l
        [L], 50..100000
    shelf, measures
        Products and scoops at hand.
    fill
        Fill water for a partial change; None leaves changes out.
    exchange
        How fast the tub trades carbon dioxide with the air.
    may_aerate
        Whether running with the lid open may serve to raise the pH.
    combined_mg_l
        Combined chlorine, 0 where free and total were not read together. [mg/L]
    """

    test: WaterTest
    volume_l: float
    targets: Targets
    shelf: Sequence[ShelfItem] = ()
    measures: Sequence[Measure] = ()
    fill: FillWater | None = None
    exchange: Exchange = OPEN_WATER
    may_aerate: bool = True
    combined_mg_l: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a volume no tub has."""
        check("volume_l", self.volume_l, 50.0, 100_000.0)


class StepKind(StrEnum):
    """What a step does; the order of the plan is the order of these names."""

    CHANGE_WATER = "change_water"
    RAISE_ALKALINITY = "raise_alkalinity"
    ACID = "acid"
    BASE = "base"
    CALCIUM = "calcium"
    SANITISER = "sanitiser"
    AERATE = "aerate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """The reading to expect after a step, with its saturation index."""

    test: WaterTest
    saturation_index: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanStep:
    """One step.

    Attributes
    ----------
    kind
        What it does.
    compound, product
        What is added; None for a change of water or for airing.
    portion
        How much, and how to measure it out; None where nothing is added.
    part, parts
        Which portion of how many the dose was split into.
    change_l
        Water to replace. [L]
    wait_min, retest_min
        Before the next step, pump running, and before a new test. [min]
    expected
        The reading after it, from the amount as measured out.
    cost_minor
        In minor units.
    """

    kind: StepKind
    compound: Compound | None
    product: Product | None
    portion: Portion | None
    part: int
    parts: int
    change_l: float
    wait_min: int
    retest_min: int
    expected: Expected
    cost_minor: int


class AdviceKind(StrEnum):
    """What a plan has to say beside its steps."""

    NOT_REACHED = "not_reached"
    SHELF_LACKS = "shelf_lacks"
    STOCK_SHORT = "stock_short"
    SANITISER_HIGH = "sanitiser_high"
    PEROXIDE_WITH_CHLORINE = "peroxide_with_chlorine"
    CHANGE_NEEDED = "change_needed"
    CHANGE_BEATS_DOSING = "change_beats_dosing"
    FILL_WATER_NO_HELP = "fill_water_no_help"
    LOWER_ALKALINITY = "lower_alkalinity"
    DRIFTS_ANYWAY = "drifts_anyway"
    CYANURATE_LEFT_OUT = "cyanurate_left_out"
    MORE_TURNS = "more_turns"
    """The steps reach to the next test; so many turns of acid and air follow it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """One remark: what about, and the figure that goes with it.

    The unit follows from the kind; `unit` is g or ml where the figure is an amount of a product.
    """

    kind: AdviceKind
    about: str
    value: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeOption:
    """A partial change weighed against dosing alone.

    `additions` and `cost_minor` count chemicals after the change and the water; the other pair is
    dosing alone.
    """

    litres: float
    reasons: tuple[ChangeReason | str, ...]
    additions: int
    cost_minor: int
    additions_without: int
    cost_without_minor: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DosingPlan:
    """Numbered steps as far as the next test, what they end at, and the month after.

    `additions` counts products, not portions; `retest_min` after the last step [min]. `reached`
    says that the steps, with the turns that the advice may name, lead into the ranges.
    """

    steps: tuple[PlanStep, ...]
    final: Expected
    reached: bool
    additions: int
    cost_minor: int
    retest_min: int
    change: ChangeOption | None
    outlook: Outlook
    advice: tuple[Advice, ...]
