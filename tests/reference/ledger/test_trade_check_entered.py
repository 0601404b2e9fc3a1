"""The season's running cost as the trade reckons it, entered as a person enters it.

Common practice, no source: 0.8 kW for 3 h a day over half a year (182.5 days) at 0.32 per kWh;
six filters for 30; chemicals and strips for 42; three fills of 2.5 m3 in all at 1.50 per m3.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest

from tests.support.books import assert_books_hold
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.care.model import TubState
from tubcare.ledger.categories import SpendCategory
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.services.money import DirectPurchase, StockPurchase, buy_stock, pay
from tubcare.services.prices import Prices, set_prices
from tubcare.services.reviews import season_review
from tubcare.services.supplies import supplies
from tubcare.services.tubs import enter_state
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work
from tubcare.store.open import open_store
from tubcare.words.locale import speech_for
from tubcare.words.money import about_money

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tubcare.values import TubId

OPENED, CLOSED = date(2026, 4, 15), date(2026, 10, 14)
AFTER = noon(2026, 12, 1)
# 0.8 kW x 3 h x 182.5 days.
SEASON_KWH = 438


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    store = open_store(tmp_path / "a.db", AFTER)
    desk = Desk(store, StillClock(AFTER), "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    yield desk
    store.close()


@pytest.fixture
def tub(desk: Desk) -> TubId:
    tub = add_tub(desk, zone="UTC", opened=OPENED)
    enter_state(desk, tub, TubState.CLOSED, CLOSED)
    return tub


def enter_exactly(desk: Desk, tub: TubId) -> None:
    """Enter meter readings, fills, a box of filters used one by one, and the chemicals."""
    set_prices(desk, Prices(power_per_kwh=Decimal("0.32"), water_per_m3=Decimal("1.50")))
    for on, kwh in ((OPENED, 1250), (CLOSED, 1250 + SEASON_KWH)):
        add_meter_reading(desk, tub, MeterValue(counter="kwh", value_milli=kwh * 1000), on=on)
    for month, litres in ((4, 1000), (6, 800), (8, 700)):
        add_fill(desk, tub, litres, on=date(2026, month, 20))
    buy_stock(
        desk,
        StockPurchase(
            on=OPENED,
            supply="Filter",
            unit="piece",
            category=SpendCategory.FILTERS,
            quantity_milli=6000,
            minor=3000,
        ),
    )
    (supply,) = supplies(desk)
    task = add_task(desk, tub, title="Swap the filter")
    for month in range(5, 11):
        work = Work(on=date(2026, month, 10), uses={supply.id: 1000})
        record_work(desk, task, work, restarts=True)
    pay(desk, DirectPurchase(on=OPENED, category=SpendCategory.CHEMICALS, minor=4200))


def test_the_season_entered_by_meter_fills_and_shelf_is_215_91_in_both_views(
    desk: Desk, tub: TubId
) -> None:
    enter_exactly(desk, tub)
    review = season_review(desk, 2026, tub).review
    assert (review.paid.total.minor, review.used.total.minor) == (21_591, 21_591)
    assert_books_hold(desk.store)


def test_power_is_140_16_told_as_about_140_and_water_3_75_told_as_about_3_80(
    desk: Desk, tub: TubId
) -> None:
    enter_exactly(desk, tub)
    speech = speech_for({}, chosen="en_GB", currency_code="EUR")
    lines = season_review(desk, 2026, tub).review.used.categories
    cost = {line.category: line.minor for line in lines}
    assert (cost[SpendCategory.POWER], cost[SpendCategory.WATER]) == (14_016, 375)
    assert (cost[SpendCategory.FILTERS], cost[SpendCategory.CHEMICALS]) == (3000, 4200)
    assert about_money(speech, cost[SpendCategory.POWER]) == "about €140"
    assert about_money(speech, cost[SpendCategory.WATER]) == "about €3.80"


def test_the_season_entered_as_rounded_amounts_is_215_80(desk: Desk, tub: TubId) -> None:
    for category, minor in (
        (SpendCategory.POWER, 14_000),
        (SpendCategory.CHEMICALS, 4200),
        (SpendCategory.FILTERS, 3000),
        (SpendCategory.WATER, 380),
    ):
        pay(desk, DirectPurchase(on=date(2026, 7, 1), category=category, minor=minor))
    review = season_review(desk, 2026, tub).review
    assert (review.paid.total.minor, review.used.total.minor) == (21_580, 21_580)
