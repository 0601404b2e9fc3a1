"""Moving-average stock against an independent method: exact fractions, lot by lot.

The method is that of the moving weighted average cost of perpetual inventory (IAS 2 Inventories,
paragraphs 25 and 27, from memory: weighted average, worked as each shipment is received), done
without any rounding and by another road: the shelf is a list of lots, and each use takes the same
share of every lot. Our whole-unit replay may differ by half a minor unit for each rounding so far.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from tubcare.ledger.stock import replay
from tubcare.ledger.stock_facts import Purchase, StockFact, Use

FIRST = date(2026, 1, 1)
STEPS = st.lists(
    st.tuples(st.booleans(), st.integers(1, 5000), st.integers(0, 50_000)), max_size=60
)


def lot_by_lot(steps: list[StockFact]) -> tuple[list[Fraction], Fraction]:
    """Return the cost of each use and what is left, in exact fractions of a minor unit."""
    lots: list[tuple[Fraction, Fraction]] = []
    costs: list[Fraction] = []
    for step in steps:
        if isinstance(step, Purchase):
            lots.append((Fraction(step.quantity_milli), Fraction(step.minor)))
        elif isinstance(step, Use):
            share = Fraction(step.quantity_milli) / sum(quantity for quantity, _ in lots)
            costs.append(sum((share * value for _, value in lots), Fraction(0)))
            lots = [(q * (1 - share), v * (1 - share)) for q, v in lots] if share < 1 else []
    return costs, sum((value for _, value in lots), Fraction(0))


def never_short(steps: list[tuple[bool, int, int]]) -> list[StockFact]:
    """Return facts one day apart in which a use takes no more than lies there."""
    facts: list[StockFact] = []
    held = 0
    for number, (is_purchase, milli, minor) in enumerate(steps):
        on = FIRST + timedelta(days=number)
        if is_purchase:
            facts.append(Purchase(id=number, on=on, quantity_milli=milli, minor=minor))
            held += milli
        elif held:
            taken = min(milli, held)
            facts.append(Use(id=number, on=on, quantity_milli=taken))
            held -= taken
    return facts


@given(STEPS)
def test_costs_stay_within_the_rounding_of_exact_fractions(
    steps: list[tuple[bool, int, int]],
) -> None:
    facts = never_short(steps)
    exact, rest = lot_by_lot(facts)
    result = replay(facts)
    for number, (cost, wanted) in enumerate(zip(result.costs, exact, strict=True), start=1):
        assert abs(cost.minor - wanted) <= Fraction(number, 2)
    assert abs(result.state.value_minor - rest) <= Fraction(len(exact), 2)


def test_a_card_of_three_shipments_agrees_to_the_unit() -> None:
    facts: list[StockFact] = [
        Purchase(id=1, on=FIRST, quantity_milli=10_000, minor=4000),
        Use(id=1, on=FIRST + timedelta(days=2), quantity_milli=4000),
        Purchase(id=2, on=FIRST + timedelta(days=4), quantity_milli=6000, minor=3600),
        Use(id=2, on=FIRST + timedelta(days=6), quantity_milli=9000),
        Purchase(id=3, on=FIRST + timedelta(days=8), quantity_milli=3000, minor=2100),
        Use(id=3, on=FIRST + timedelta(days=9), quantity_milli=6000),
    ]
    exact, rest = lot_by_lot(facts)
    assert [float(cost) for cost in exact] == [1600, 4500, 3600]
    assert rest == 0
    assert [cost.minor for cost in replay(facts).costs] == [1600, 4500, 3600]
