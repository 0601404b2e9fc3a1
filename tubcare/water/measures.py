"""Amounts in the scoops and syringes that a person owns, or by way of a stock solution."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from tubcare.errors import OutOfRangeError
from tubcare.water.products import Form

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.water.products import Product

# A count that strays further than this from the amount is no longer the dose. Own choice.
CLOSE: Final = 0.10
_MOST_SCOOPS = 12.0
_STOCK_ML = (100.0, 250.0, 500.0, 1000.0)
# Weaker than every product sold dry dissolves in cold water. Own choice.
_STOCK_STRONGEST_G_ML = 0.05


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
    """Dissolve `solid_g` to `made_ml` of water, then use `use_ml` of it; throw the rest away."""

    solid_g: float
    made_ml: float
    use_ml: float


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
    """Return how to measure `amount` [g or mL] of a product with the measures at hand.

    The fewest parts that miss it by no more than `may_miss` [g or mL] win, 10 % of it unless said:
    what one portion of several misses is made up for in the next. Without a fitting measure the
    amount stays by weight or syringe, rounded to three figures, and a solid too small to scoop is
    offered as a stock solution.
    """
    found = _closest(product, amount, measures, CLOSE * amount if may_miss is None else may_miss)
    if found is not None:
        return Portion(
            exact=amount, amount=found.amount, unit=product.unit, measured=found, stock=None
        )
    rounded = float(f"{amount:.3g}")
    stock = None
    if product.form is Form.SOLID and _too_small(product, amount, measures):
        stock = stock_solution(product, amount, measures)
    if stock is not None:
        # What the part of the solution holds is what the next reading will show.
        rounded = float(f"{stock.solid_g * stock.use_ml / stock.made_ml:.3g}")
    return Portion(exact=amount, amount=rounded, unit=product.unit, measured=None, stock=stock)


def stock_solution(
    product: Product, amount_g: float, measures: Sequence[Measure]
) -> StockSolution | None:
    """Return a solution from whole measures of the solid, a part of which holds `amount_g`.

    None where no measure for solids is at hand or the solution would be too strong.
    """
    fitting = [m for m in measures if m.for_form in {None, Form.SOLID}]
    if not fitting or amount_g <= 0.0:
        return None
    smallest = min(fitting, key=lambda m: m.capacity_ml)
    solid_g = smallest.capacity_ml * product.density_kg_l
    if solid_g <= amount_g:
        return None
    for made_ml in _STOCK_ML:
        if solid_g / made_ml <= _STOCK_STRONGEST_G_ML:
            use_ml = float(f"{amount_g / solid_g * made_ml:.2g}")
            return StockSolution(solid_g=solid_g, made_ml=made_ml, use_ml=use_ml)
    return None


def _closest(
    product: Product, amount: float, measures: Sequence[Measure], may_miss: float
) -> Measured | None:
    """Return the handiest count that misses by no more than `may_miss`, or None."""
    candidates: list[tuple[float, Measured]] = []
    for measure in measures:
        if measure.for_form not in {None, product.form} or amount <= 0.0:
            continue
        full = measure.capacity_ml
        if product.form is Form.SOLID:
            full *= product.density_kg_l
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


def _too_small(product: Product, amount: float, measures: Sequence[Measure]) -> bool:
    """Return whether even the smallest measure's smallest part is more than the amount."""
    parts = [
        m.capacity_ml / m.divisions * product.density_kg_l
        for m in measures
        if m.for_form in {None, Form.SOLID}
    ]
    return bool(parts) and amount < min(parts)
