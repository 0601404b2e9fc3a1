"""How fast stock is valued: against the same card in Decimals, and with a long history.

Run with TUBCARE_BENCH=1 for the full size and the bounds; the figures are printed (pytest -s).
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import ROUND_HALF_EVEN, Decimal

from tests.support.bench import FULL, beside, best_ms
from tubcare.ledger.stock import replay
from tubcare.ledger.stock_facts import Purchase, StockFact, StockState, Use

FACTS = 20_000 if FULL else 400
FIRST = date(2016, 1, 1)
CENT = Decimal("0.01")


def history(days: int) -> list[StockFact]:
    facts: list[StockFact] = []
    for number in range(days):
        on = FIRST + timedelta(days=number)
        facts.append(Purchase(id=number, on=on, quantity_milli=6000, minor=3000 + number % 7))
        facts.append(Use(id=number, on=on, quantity_milli=5990))
    return facts


def plain_card(facts: list[StockFact]) -> Decimal:
    """Keep the card in Decimals, with no rule but the average, and return what is left."""
    quantity = value = Decimal(0)
    for fact in sorted(facts, key=lambda fact: (fact.on, isinstance(fact, Use))):
        if isinstance(fact, Purchase):
            quantity += Decimal(fact.quantity_milli) / 1000
            value += Decimal(fact.minor) / 100
        elif isinstance(fact, Use):
            taken = Decimal(fact.quantity_milli) / 1000
            value -= (value * taken / quantity).quantize(CENT, rounding=ROUND_HALF_EVEN)
            quantity -= taken
    return value


def test_a_whole_replay_against_a_plain_card_in_decimals() -> None:
    facts = history(FACTS // 2)
    assert replay(facts).state.value_minor == plain_card(facts) * 100
    ours, theirs = best_ms(lambda: replay(facts)), best_ms(lambda: plain_card(facts))
    ratio = f"{ours:.2f} ms, Decimals {theirs:.2f} ms, {ours / theirs:.2f}x"
    print(f"\nreplay of {FACTS} facts: {ratio}")  # noqa: T201  the figure is the point
    if FULL:
        assert ours <= 5 * theirs


def test_one_more_use_does_not_depend_on_the_length_of_history() -> None:
    one_year, ten_years = replay(history(365)).state, replay(history(3650)).state
    last = Use(id=9999, on=FIRST + timedelta(days=4000), quantity_milli=10)

    def many_on(start: StockState) -> None:
        for _ in range(1000 if FULL else 10):
            replay([last], start)

    figure = beside(lambda: many_on(ten_years), lambda: many_on(one_year), 31 if FULL else 2)
    figure.told("one more use after 10 years", "after 1")
    if FULL:
        assert figure.ratio <= 1.2
