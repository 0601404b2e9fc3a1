"""The shelf: stock-take, use and expiry outside a task, marks, and what runs out."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.audit import audit
from tests.desktop.conftest import said, settle
from tests.desktop.tub_windows import desk_of, logbook_with, tub_screen
from tests.support.books import assert_books_hold
from tubcare.desktop.tub_screen import TubScreen
from tubcare.ledger.categories import SpendCategory
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.supplies import Supply, supplies

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

Shown = tuple["Window", TubScreen]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = logbook_with(tmp_path / "a.db", "North")
    desk = desk_of(path)
    buy_stock(
        desk,
        StockPurchase(
            on=date(2026, 5, 1),
            supply="Filter cartridge",
            unit="piece",
            category=SpendCategory.FILTERS,
            quantity_milli=2000,
            minor=2400,
        ),
    )
    desk.store.close()
    return path


@pytest.fixture
def shown(qtbot: QtBot, make_window: Callable[..., Window], path: Path) -> Shown:
    window, screen = tub_screen(qtbot, make_window, path)
    window.resize(1280, 900)
    screen.show_subject("shelf")
    settle(qtbot, window)
    screen.shelf().table.choose(cartridge(path).id)
    return window, screen


def cartridge(path: Path) -> Supply:
    desk = desk_of(path)
    assert_books_hold(desk.store)
    found = next(each for each in supplies(desk) if each.name == "Filter cartridge")
    desk.store.close()
    return found


def cells(screen: TubScreen) -> list[str]:
    table = screen.shelf().table
    row = table.currentIndex().row()
    return [
        str(table.model().index(row, column).data())
        for column in range(table.model().columnCount())
    ]


def test_the_page_holds_what_every_page_must(qtbot: QtBot, shown: Shown) -> None:
    window, screen = shown
    for at in range(screen.shelf().tabs.count()):
        screen.shelf().tabs.setCurrentIndex(at)
        settle(qtbot, window)
        assert audit(window) == []


def test_the_shelf_tells_stock_worth_and_how_long_it_lasts(shown: Shown) -> None:
    _window, screen = shown
    name, stock, worth, lasts, keeps, task, buy = cells(screen)
    assert (name, stock, worth, keeps) == ("Filter cartridge", "2", "€24.00", "")
    assert "2026" in lasts
    assert task == "Swap the filter cartridge"
    assert int(buy) > 2


def test_a_stock_take_books_the_difference_and_undo_takes_it_back(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    box = screen.shelf().count
    box.write_down()
    assert box.form.error_of("counted_milli")
    box.counted.setText("1.5")
    QTest.keyClick(box.counted, Qt.Key.Key_Return)
    assert "0.5 piece were missing" in said(qtbot, window)
    assert cartridge(path).quantity_milli == 1500
    window.menus.undo.trigger()
    assert "Taken back" in said(qtbot, window)
    assert cartridge(path).quantity_milli == 2000


@pytest.mark.parametrize("kind", [0, 1])
def test_what_was_used_or_expired_leaves_the_shelf(
    qtbot: QtBot, shown: Shown, path: Path, kind: int
) -> None:
    window, screen = shown
    box = screen.shelf().use
    box.kind.setCurrentIndex(kind)
    box.quantity.setText("1")
    box.write_down()
    assert "Off the shelf: 1 piece of Filter cartridge" in said(qtbot, window)
    found = cartridge(path)
    assert (found.quantity_milli, found.value_minor) == (1000, 1200)


def test_a_mark_below_which_the_shelf_is_low_is_kept_and_shown(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    box = screen.shelf().supply
    assert box.name.text() == "Filter cartridge"
    box.low.setText("3")
    box.write_down()
    assert "Filter cartridge is kept." in said(qtbot, window)
    assert cartridge(path).low_milli == 3000
    assert "below your mark" in cells(screen)[3]


def test_a_name_that_another_supply_has_is_refused(qtbot: QtBot, shown: Shown) -> None:
    _window, screen = shown
    box = screen.shelf().supply
    box.name.setText("test strips")
    box.write_down()
    qtbot.waitUntil(lambda: "already" in box.form.error_of("supply"))
    assert box.name.text() == "test strips"


def test_what_runs_out_within_four_weeks_is_named(shown: Shown) -> None:
    _window, screen = shown
    told = screen.shelf().told.text()
    assert "By 3 Jun 2026" in told
    assert "Filter cartridge" not in told


def test_a_supply_is_added_chosen_and_deleted_again(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    shelf = screen.shelf()
    shelf.add_action.trigger()
    box = shelf.supply
    box.name.setText("Brush")
    box.unit.setText("piece")
    box.write_down()
    assert "Brush is on the shelf's list." in said(qtbot, window)
    assert cells(screen)[0] == "Brush"
    shelf.delete_action.trigger()
    assert "Deleted: Brush" in said(qtbot, window)
    desk = desk_of(path)
    assert "Brush" not in {each.name for each in supplies(desk)}
    desk.store.close()


def test_a_supply_that_was_bought_is_not_deleted_and_says_why(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    screen.shelf().delete_action.trigger()
    settle(qtbot, window)
    assert "Filter cartridge" in screen.shelf().supply.told.text()
    assert cartridge(path).name == "Filter cartridge"


def test_a_purchase_is_written_down_in_the_ledger(shown: Shown) -> None:
    window, screen = shown
    screen.shelf().buy_action.trigger()
    assert window.screens.key == "ledger"
