"""The used view line by line: it adds up to the review of the same days."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.ledger.categories import SpendCategory
from tubcare.services.desk import Desk
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.services.money import (
    BuildCost,
    DirectPurchase,
    StockPurchase,
    add_build_cost,
    buy_stock,
    pay,
)
from tubcare.services.prices import Prices, set_prices
from tubcare.services.reviews import year_review
from tubcare.services.supplies import supplies, throw_away
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work
from tubcare.services.used import used_between


def a_year(desk: Desk) -> Desk:
    """Write down something of every kind in 2025 and 2026; return the desk a year later."""
    later = Desk(desk.store, StillClock(noon(2027, 1, 20)), "Ann")
    tub = add_tub(desk, opened=date(2025, 4, 1))
    set_prices(desk, Prices(power_per_kwh=Decimal("0.30"), water_per_m3=Decimal(2)))
    for on, kwh in ((date(2025, 12, 1), 0), (date(2026, 2, 1), 310), (date(2026, 7, 1), 900)):
        value = MeterValue(counter="kwh", value_milli=kwh * 1000)
        add_meter_reading(later, tub, value, on=on)
    add_fill(later, tub, 750, on=date(2026, 4, 2))
    add_build_cost(desk, BuildCost(on=date(2025, 11, 5), minor=120_000, months=24, note="Chest"))
    buy_stock(
        desk,
        StockPurchase(
            on=date(2025, 12, 30),
            supply="Cartridge",
            unit="piece",
            category=SpendCategory.FILTERS,
            quantity_milli=6000,
            minor=3000,
        ),
    )
    (supply,) = supplies(desk)
    task = add_task(desk, tub)
    record_work(later, task, Work(on=date(2026, 5, 1), uses={supply.id: 2000}), restarts=True)
    throw_away(desk, supply.id, quantity_milli=1000, on=date(2026, 6, 1))
    pay(desk, DirectPurchase(on=date(2026, 6, 2), category=SpendCategory.REPAIRS, minor=777))
    return later


def test_the_lines_of_a_year_add_up_to_its_review(desk: Desk) -> None:
    later = a_year(desk)
    for year in (2025, 2026):
        lines = used_between(later, date(year, 1, 1), date(year, 12, 31))
        assert (
            sum(line.minor for line in lines) == year_review(later, year).review.used.total.minor
        )


def test_a_purchase_for_the_shelf_is_no_line_but_its_use_is(desk: Desk) -> None:
    lines = used_between(a_year(desk), date(2026, 1, 1), date(2026, 12, 31))
    filters = [line for line in lines if line.category is SpendCategory.FILTERS]
    assert [(line.kind, line.minor, line.quantity_milli) for line in filters] == [
        ("expired", 500, 1000),
        ("used", 1000, 2000),
    ]
    assert (filters[1].task_title, filters[1].supply_name) == (
        "Swap the filter cartridge",
        "Cartridge",
    )


def test_power_counts_with_its_share_of_the_days(desk: Desk) -> None:
    later = a_year(desk)
    # 310 kWh at 0.30 in 62 days is 1.50 a day; January has 31 of them.
    (power,) = [
        x for x in used_between(later, date(2026, 1, 1), date(2026, 1, 31)) if x.kind == "power"
    ]
    assert power.minor == 31 * 150
    assert power.entry is not None


@pytest.fixture
def used_desk(desk: Desk) -> Desk:
    return a_year(desk)


@settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(cut=st.dates(date(2026, 1, 1), date(2026, 12, 30)))
def test_two_parts_of_a_year_add_up_to_it(used_desk: Desk, cut: date) -> None:
    whole = used_between(used_desk, date(2026, 1, 1), date(2026, 12, 31))
    begin = used_between(used_desk, date(2026, 1, 1), cut)
    rest = used_between(used_desk, date.fromordinal(cut.toordinal() + 1), date(2026, 12, 31))
    assert sum(line.minor for line in whole) == sum(line.minor for line in (*begin, *rest))
