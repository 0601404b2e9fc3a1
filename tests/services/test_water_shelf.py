"""The shelf of products and scoops that a plan doses from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from tubcare.errors import InputError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.history import undo
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.water_shelf import drop_measure, drop_product, put_product
from tubcare.services.water_supplies import water_shelf
from tubcare.water.compounds import Compound
from tubcare.water.products import usual_product

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk


def test_bleach_is_taken_for_weaker_as_it_ages(desk: Desk, clock: StillClock) -> None:
    bleach = replace(usual_product(Compound.SODIUM_HYPOCHLORITE), name="Bleach")
    put_product(desk, bleach, filled_on=date(2026, 5, 1), storage_c=20.0)
    clock.go(days=90)
    shelf = water_shelf(desk)
    product, left = shelf.products[0].on(shelf.today)
    assert left is not None
    # Adam & Gordon 1999: 12.5 % trade loses 19 % in 90 days at 20 °C.
    assert left.share == pytest.approx(0.81, abs=0.01)
    assert product.strength == pytest.approx(12.5 * left.share)


def test_a_label_on_a_supply_counted_otherwise_is_refused(desk: Desk) -> None:
    buy_stock(
        desk,
        StockPurchase(
            on=date(2026, 4, 2),
            supply="Tablets",
            unit="piece",
            category=SpendCategory.CHEMICALS,
            quantity_milli=1000,
            minor=100,
        ),
    )
    with pytest.raises(InputError, match="piece"):
        put_product(desk, replace(usual_product(Compound.TRICHLOR), name="Tablets"))


@pytest.mark.usefixtures("shelf")
def test_products_and_scoops_leave_the_shelf_and_come_back_by_undo(desk: Desk) -> None:
    found = water_shelf(desk)
    drop_product(desk, found.products[0].supply)
    drop_measure(desk, "Scoop")
    assert len(water_shelf(desk).products) == 1
    assert not water_shelf(desk).measures
    undo(desk)
    undo(desk)
    assert water_shelf(desk) == found
