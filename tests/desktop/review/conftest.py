"""Two seasons of a tub, the second dearer and running, and how tests go about in the review."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from PySide6.QtTest import QTest

from tests.desktop.conftest import settle
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.care.model import TubState
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.review_screen import ReviewScreen
from tubcare.desktop.sections import SECTIONS
from tubcare.ledger.categories import SpendCategory
from tubcare.services.budgets import set_budgets
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.measures import MeterValue, add_dip
from tubcare.services.meters import add_meter_reading
from tubcare.services.money import DirectPurchase, StockPurchase, buy_stock, pay
from tubcare.services.prices import Prices, set_prices
from tubcare.services.reviews import year_review
from tubcare.services.supplies import supplies
from tubcare.services.tubs import enter_state
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.services.reviews import Reviewed
    from tubcare.values import TaskId, TubId

NOW = noon(2026, 9, 1)


def at(desk: Desk, day: date) -> Desk:
    return Desk(desk.store, StillClock(noon(day.year, day.month, day.day)), desk.actor)


def open_desk(path: Path) -> Desk:
    return Desk(open_store(path, NOW), StillClock(NOW), "Ann")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Write two seasons of a tub: the second one dearer, and running."""
    path = tmp_path / "a.db"
    desk = open_desk(path)
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    tub = add_tub(desk, zone="UTC", opened=date(2025, 4, 20))
    enter_state(desk, tub, TubState.CLOSED, date(2025, 10, 15))
    enter_state(desk, tub, TubState.OPEN, date(2026, 4, 10))
    set_budgets(desk, 2026, {SpendCategory.POWER: 9_000, SpendCategory.FILTERS: 5_000})
    task = add_task(desk, tub, title="Swap the filter & rinse <it>")
    add_task(desk, tub, title="Clean the coil", starts_on=date(2026, 4, 10))
    a_season(desk, tub, task, 2025, price="0.30", each=1000)
    a_season(desk, tub, task, 2026, price="0.36", each=1200)
    desk.store.close()
    return path


def a_season(desk: Desk, tub: TubId, task: TaskId, year: int, *, price: str, each: int) -> None:
    set_prices(desk, Prices(power_per_kwh=Decimal(price), water_per_m3=Decimal("1.5")))
    first = date(year, 4, 25)
    for month in range(4):
        value = MeterValue(counter="kwh", value_milli=10**6 + ((year - 2025) * 3 + month) * 60_000)
        day = first + timedelta(days=30 * month)
        add_meter_reading(at(desk, day), tub, value, on=day)
    buy_stock(
        desk,
        StockPurchase(
            on=date(year, 5, 1),
            supply="Filter cartridge",
            unit="piece",
            category=SpendCategory.FILTERS,
            quantity_milli=4000,
            minor=4 * each,
        ),
    )
    (supply,) = supplies(desk)
    for month in (5, 6, 7, 8):
        day = date(year, month, 10)
        work = Work(on=day, uses={supply.id: 1000})
        record_work(at(desk, day), task, work, restarts=True)
        add_dip(at(desk, day), tub, dips=5)
    pay(desk, DirectPurchase(on=date(year, 6, 3), category=SpendCategory.REPAIRS, minor=2550))


@pytest.fixture
def screen(make_window: Callable[..., Window], path: Path, qtbot: QtBot) -> ReviewScreen:
    window = make_window(sections=SECTIONS, open_logbook=lambda: OpenLogbook(open_desk(path)))
    window.go("review")
    settle(qtbot, window)
    window.activateWindow()
    QTest.qWaitForWindowActive(window, 1000)
    screen = window.screens.current
    assert isinstance(screen, ReviewScreen)
    return screen


def quiet(qtbot: QtBot, screen: ReviewScreen) -> None:
    qtbot.waitUntil(lambda: not screen.context.work.busy, timeout=10_000)


def choose(qtbot: QtBot, screen: ReviewScreen, beginning: str) -> None:
    """Choose a period by typing the beginning of its name."""
    names = [screen.period.itemText(at) for at in range(screen.period.count())]
    place = next(at for at, name in enumerate(names) if name.startswith(beginning))
    screen.period.setCurrentIndex(place)
    screen.period.activated.emit(place)
    quiet(qtbot, screen)


def rows(screen: ReviewScreen, key: str) -> dict[str, dict[str, str]]:
    shown = screen.pages[key].shown
    assert shown is not None
    return {row[0]: dict(zip(shown.heads, row, strict=True)) for row in shown.rows}


def reviewed_of(path: Path) -> Reviewed:
    desk = open_desk(path)
    found = year_review(desk, 2026)
    desk.store.close()
    return found
