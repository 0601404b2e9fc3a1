"""A season's running cost as the trade reckons it (common practice, no source).

0.8 kW for 3 h a day over half a year at 0.32 per kWh; six filters; chemicals and strips; three
fills of 2.5 m3 in all at 1.50 per m3.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from tubcare.ledger.charges import power_minor, water_minor
from tubcare.ledger.contributions import (
    DirectSpend,
    MoneyFact,
    PowerCharge,
    StockOutflow,
    StockPurchase,
    contributions_between,
)
from tubcare.ledger.currency import currency
from tubcare.ledger.money import about, to_decimal
from tubcare.ledger.stock import replay
from tubcare.ledger.stock_facts import Purchase, StockFact, Use

EUR = currency("EUR")
SEASON_WH = int(Decimal("0.8") * 3 * Decimal("182.5") * 1000)
OPENED, CLOSED = date(2026, 4, 15), date(2026, 10, 14)


def test_power_of_the_season_is_140_16_told_as_about_140() -> None:
    minor = power_minor(SEASON_WH, price_per_kwh=Decimal("0.32"), currency=EUR)
    assert SEASON_WH == 438_000
    assert to_decimal(minor, EUR) == Decimal("140.16")
    assert to_decimal(about(minor), EUR) == Decimal("140.00")


def test_three_fills_are_3_75_told_as_about_3_80() -> None:
    minor = water_minor(2500, price_per_m3=Decimal("1.50"), currency=EUR)
    assert to_decimal(minor, EUR) == Decimal("3.75")
    assert to_decimal(about(minor), EUR) == Decimal("3.80")


@pytest.mark.parametrize(
    ("power", "water", "season"),
    [
        (Decimal("140.16"), Decimal("3.75"), Decimal("215.91")),
        (Decimal(140), Decimal("3.80"), Decimal("215.80")),
    ],
)
def test_season_adds_up_exactly_and_from_rounded_amounts(
    power: Decimal, water: Decimal, season: Decimal
) -> None:
    amounts = (power, Decimal(42), Decimal(30), water)
    minor = [int(amount * 100) for amount in amounts]
    facts: list[MoneyFact] = [
        PowerCharge(from_on=OPENED, on=CLOSED, minor=minor[0]),
        *(DirectSpend(on=OPENED, minor=m) for m in minor[1:]),
    ]
    sums = [contributions_between(fact, OPENED, CLOSED) for fact in facts]
    assert to_decimal(sum(s.paid_minor for s in sums), EUR) == season
    assert to_decimal(sum(s.used_minor for s in sums), EUR) == season


def test_season_by_energy_and_by_filter_ends_at_the_same_sum() -> None:
    power = power_minor(SEASON_WH, price_per_kwh=Decimal("0.32"), currency=EUR)
    filters: list[StockFact] = [Purchase(id=1, on=OPENED, quantity_milli=6000, minor=3000)]
    filters += [Use(id=m, on=date(2026, m, 20), quantity_milli=1000) for m in range(4, 10)]
    facts: list[MoneyFact] = [
        PowerCharge(from_on=OPENED, on=CLOSED, minor=power),
        StockPurchase(on=OPENED, minor=3000),
        *(StockOutflow(on=cost.on, minor=cost.minor) for cost in replay(filters).costs),
        DirectSpend(on=OPENED, minor=4200),
        DirectSpend(on=OPENED, minor=375),
    ]
    sums = [contributions_between(fact, OPENED, CLOSED) for fact in facts]
    assert sum(s.paid_minor for s in sums) == sum(s.used_minor for s in sums) == 21_591
