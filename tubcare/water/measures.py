"""Amounts in the scoops and syringes that a person owns, or by way of a stock solution."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from tubcare.errors import OutOfRangeError
from tubcare.water.compounds import Compound
from tubcare.water.products import Form

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.water.products import Product

# A count that strays further than this from the amount is no longer the dose. Own choice.
CLOSE: Final = 0.10
_MOST_SCOOPS = 12.0
_STOCK_ML = (100.0, 250.0, 500.0, 1000.0, 2000.0, 5000.0)
# Half or less of what dissolves at 0 °C of the weakest below. Own choice.
_STOCK_STRONGEST_G_ML = 0.03
# Less cannot be told apart with household measures. Own choice.
_LEAST_OF_STOCK_ML = 5.0
#: What makes a clear solution in cold water without harm: at 0 °C 100 g of water take 6.9 g of
#: bicarbonate and 7 g of soda, and far more of the others (handbook tables, from memory). Not:
#: trichlor, bromine tablets, cyanuric acid and borates, which hardly dissolve; caustic soda, which
#: boils up; calcium hypochlorite, which leaves a sludge full of chlorine.
SOLUBLE: Final = frozenset(
    {
        Compound.SODIUM_BISULFATE,
        Compound.SODA_ASH,
        Compound.SODIUM_BICARBONATE,
        Compound.CALCIUM_CHLORIDE,
        Compound.CALCIUM_CHLORIDE_DIHYDRATE,
        Compound.DICHLOR,
        Compound.DICHLOR_DIHYDRATE,
        Compound.SODIUM_CHLORIDE,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A scoop, spoon, syringe or cup.

    Attributes
    ----------
    name
        What the person calls it.
    capacity_ml
        Level full. [mL], > 0
    divisions
        Into how many parts it can be read: 1 only full, 2 halves, 10 a syringe with ten marks.
    for_form
        What it may be used for; None for both.
    """

    name: str
    capacity_ml: float
    divisions: int = 2
    for_form: Form | None = None

    def __post_init__(self) -> None:
        """Refuse a measure without a size."""
        if not 0.05 <= self.capacity_ml <= 5000.0:
            raise OutOfRangeError("capacity_ml", self.capacity_ml, 0.05, 5000.0)
        if not 1 <= self.divisions <= 100:
            raise OutOfRangeError("divisions", self.divisions, 1, 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """An amount as so many of one measure; `parts` / `divisions` is the count.

    `amount` is what that count holds [g or mL]; `error` its relative distance from the dose.
    """

    measure: Measure
    parts: int
    amount: float
    error: float

    @property
    def count(self) -> float:
        """How many measures, with fractions."""
        return self.parts / self.measure.divisions


@dataclass(frozen=True, slots=True, kw_only=True)
class StockSolution:
    """Whole scoops of a solid dissolved in water, and the part of it that goes in.

    Attributes
    ----------
    measure, scoops
        What the solid is measured with, and how many times full.
    solid_g
        What those scoops hold. [g]
    made_ml
        How much solution they make. [mL]
    use_ml
        How much of it goes into the tub. [mL]
    measured
        That part in the person's measures; None where a jug with marks has to do.
    """

    measure: Measure
    scoops: int
    solid_g: float
    made_ml: float
    use_ml: float
    measured: Measured | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Portion:
    """How to measure one amount out.

    `exact` is what was worked out and `amount` what to use [g or mL]; `measured` is None where no
    measure comes within 10 %, and then `stock` may offer a way.
    """

    exact: float
    amount: float
    unit: str
    measured: Measured | None
    stock: StockSolution | None


def portion(
    product: Product, amount: float, measures: Sequence[Measure], *, may_miss: float | None = None
) -> Portion:
    """Return how to measure an amount of a product with the measures at hand.

    The fewest parts that miss it by little enough win: what one portion of several misses is made
    up for in the next. Without a fitting measure the amount stays by weight or syringe, rounded to
    three figures, and a solid is offered as a stock solution where that is sound.

    Parameters
    ----------
    amount
        [g or mL], any
    may_miss
        By how much at the most; 10 % of the amount unless said. [g or mL], any
    """
    miss = CLOSE * amount if may_miss is None else may_miss
    found = _closest(product.form, product.density_kg_l, amount, measures, miss)
    if found is not None:
        return Portion(
            exact=amount, amount=found.amount, unit=product.unit, measured=found, stock=None
        )
    rounded = float(f"{amount:.3g}")
    stock = stock_solution(product, amount, measures) if product.form is Form.SOLID else None
    if stock is not None:
        # What the part of the solution holds is what the next reading will show.
        rounded = float(f"{stock.solid_g * stock.use_ml / stock.made_ml:.3g}")
    return Portion(exact=amount, amount=rounded, unit=product.unit, measured=None, stock=stock)


def stock_solution(
    product: Product, amount_g: float, measures: Sequence[Measure]
) -> StockSolution | None:
    """Return a solution from whole measures of a solid, a part of which holds `amount_g`.

    The fewest measures win, in a part that a measure for liquids holds where there is one. None
    where no measure for solids is at hand, the product makes no clear solution in cold water, or
    the dose is too large for this way.

    Parameters
    ----------
    amount_g
        [g], any; none for 0 and less
    """
    if product.compound not in SOLUBLE or amount_g <= 0.0:
        return None
    offered = [
        found
        for measure in measures
        if measure.for_form in {None, Form.SOLID}
        for made_ml in _STOCK_ML
        if (found := _solution(product, amount_g, measure, made_ml, measures)) is not None
    ]
    return min(offered, key=_effort, default=None)


def _solution(
    product: Product,
    amount_g: float,
    measure: Measure,
    made_ml: float,
    measures: Sequence[Measure],
) -> StockSolution | None:
    full_g = measure.capacity_ml * product.density_kg_l
    scoops = math.ceil(amount_g / full_g)
    solid_g = scoops * full_g
    if scoops > _MOST_SCOOPS or solid_g / made_ml > _STOCK_STRONGEST_G_ML:
        return None
    exact_ml = amount_g / solid_g * made_ml
    if exact_ml < _LEAST_OF_STOCK_ML:
        return None
    measured = _closest(Form.LIQUID, 1.0, exact_ml, measures, CLOSE * exact_ml)
    return StockSolution(
        measure=measure,
        scoops=scoops,
        solid_g=solid_g,
        made_ml=made_ml,
        use_ml=float(f"{exact_ml:.2g}") if measured is None else measured.amount,
        measured=measured,
    )


def _effort(stock: StockSolution) -> tuple[bool, float, float]:
    counted = 0.0 if stock.measured is None else stock.measured.count
    return (stock.measured is None, stock.scoops + counted, stock.made_ml)


def _closest(
    form: Form,
    density_kg_l: float,
    amount: float,
    measures: Sequence[Measure],
    may_miss: float,
) -> Measured | None:
    """Return the handiest count that misses by no more than `may_miss`, or None."""
    candidates: list[tuple[float, Measured]] = []
    for measure in measures:
        if measure.for_form not in {None, form} or amount <= 0.0:
            continue
        full = measure.capacity_ml
        if form is Form.SOLID:
            full *= density_kg_l
        parts = max(1, round(amount / full * measure.divisions))
        held = parts * full / measure.divisions
        error = abs(held - amount) / amount
        if abs(held - amount) <= may_miss and parts / measure.divisions <= _MOST_SCOOPS:
            # One scoop more costs as much as four per cent of error.
            effort = error + 0.04 * parts / measure.divisions
            candidates.append(
                (effort, Measured(measure=measure, parts=parts, amount=held, error=error))
            )
    return min(candidates, key=lambda item: item[0])[1] if candidates else None
