"""A ledger on a real logbook with one tub, and how tests go about in it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on, new_desk, window_on
from tests.support.plans import add_task, add_tub
from tubcare.desktop.ledger_forms import PurchaseForm
from tubcare.desktop.ledger_screen import LedgerScreen
from tubcare.ledger.categories import SpendCategory
from tubcare.services.entries import Entry, entries
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.supplies import supplies

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk
    from tubcare.services.supplies import Supply

TODAY = date(2026, 5, 6)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    desk = new_desk(path)
    tub = add_tub(desk, zone="UTC")
    add_task(desk, tub, title="Clean the condenser coil", category="chiller")
    desk.store.close()
    return path


@pytest.fixture
def desk(path: Path) -> Iterator[Desk]:
    desk = desk_on(path)
    yield desk
    desk.store.close()


@pytest.fixture
def strips(desk: Desk) -> Supply:
    """Return test strips on the shelf: 50 of them, bought for €9.90."""
    bought = StockPurchase(
        on=TODAY,
        supply="Test strips",
        unit="strip",
        category=SpendCategory.TESTING,
        quantity_milli=50_000,
        minor=990,
    )
    buy_stock(desk, bought)
    return supplies(desk)[0]


@pytest.fixture
def screen(make_window: Callable[..., Window], path: Path, qtbot: QtBot) -> LedgerScreen:
    window = window_on(make_window, path)
    window.go("ledger")
    settle(qtbot, window)
    window.activateWindow()
    QTest.qWaitForWindowActive(window, 1000)
    screen = window.screens.current
    assert isinstance(screen, LedgerScreen)
    return screen


def window_of(screen: LedgerScreen) -> Window:
    return screen.window()  # type: ignore[return-value]


def noticed(screen: LedgerScreen) -> str:
    return " ".join(label.text() for label in screen.context.notices.findChildren(QLabel))


def quiet(qtbot: QtBot, screen: LedgerScreen) -> None:
    qtbot.waitUntil(lambda: not screen.context.work.busy, timeout=5000)


def all_entries(desk: Desk) -> tuple[Entry, ...]:
    return entries(desk, first=date(2000, 1, 1), last=date(2100, 1, 1))


def purchase(screen: LedgerScreen) -> PurchaseForm:
    screen.writer.buy()
    form = screen.side.form
    assert isinstance(form, PurchaseForm)
    return form
