"""The sections on a real logbook, driven by keys and the mouse."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.desks import NOW, desk_on, new_desk, window_on
from tests.support.plans import add_task, add_tub
from tubcare.desktop.ledger_screen import LedgerScreen
from tubcare.desktop.review_screen import ReviewScreen
from tubcare.desktop.tasks_screen import TasksScreen
from tubcare.desktop.week_screen import WeekScreen
from tubcare.desktop.week_tree import TickButton
from tubcare.ledger.categories import SpendCategory
from tubcare.services.money import DirectPurchase, StockPurchase, buy_stock, pay
from tubcare.services.week import this_week

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    desk = new_desk(path)
    tub = add_tub(desk, zone="UTC")
    add_task(desk, tub, usual_minor=250)
    add_task(desk, tub, title="Clean the condenser coil", category="chiller", usual_minor=900)
    desk.store.close()
    return path


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return window_on(make_window, path)


def week_screen(qtbot: QtBot, window: Window) -> WeekScreen:
    screen = window.screens.current
    assert isinstance(screen, WeekScreen)
    qtbot.waitUntil(lambda: screen.model.rowCount() > 0)
    return screen


def late(path: Path) -> int:
    desk = desk_on(path)
    count = len(this_week(desk).late)
    desk.store.close()
    return count


def test_space_on_the_first_row_ticks_off_and_undo_brings_it_back(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week_screen(qtbot, window)
    assert late(path) == 2
    screen.tree.setFocus()
    QTest.keyClick(screen.tree, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
    assert late(path) == 1
    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: "Taken back" in window.strip.text)
    assert late(path) == 2


def test_tasks_and_ledger_show_what_the_logbook_holds(qtbot: QtBot, window: Window) -> None:
    week_screen(qtbot, window)
    window.go("tasks")
    tasks = window.screens.current
    assert isinstance(tasks, TasksScreen)
    qtbot.waitUntil(lambda: tasks.model.rowCount() == 2)
    window.go("ledger")
    ledger = window.screens.current
    assert isinstance(ledger, LedgerScreen)
    qtbot.waitUntil(lambda: "Paid in this period" in ledger.subtitle.text())


def test_the_review_adds_up_what_was_ticked_and_writes_it_as_a_table(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    screen = week_screen(qtbot, window)
    QTest.keyClick(screen.tree, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
    window.go("review")
    review = window.screens.current
    assert isinstance(review, ReviewScreen)
    qtbot.waitUntil(lambda: bool(review.told.text()))
    assert "1 done" in review.told.text()
    assert review.period.itemText(0) == "Year 2026"
    sums = {
        key: page.shown.rows[-1][page.shown.heads.index("Cost")]
        for key, page in review.pages.items()
        if page.shown is not None and "Cost" in page.shown.heads
    }
    assert len(set(sums.values())) == 1
    target = tmp_path / "review.csv"
    review.export_to(target)
    qtbot.waitUntil(lambda: str(target) in window.strip.text)
    assert "2026" in target.read_text(encoding="utf-8-sig")


def test_paid_and_used_are_two_views_of_one_year(qtbot: QtBot, window: Window, path: Path) -> None:
    desk = desk_on(path)
    pay(desk, DirectPurchase(on=NOW.date(), category=SpendCategory.REPAIRS, minor=12_345))
    buy_stock(
        desk,
        StockPurchase(
            on=NOW.date(),
            supply="Filter cartridge",
            unit="pieces",
            category=SpendCategory.FILTERS,
            quantity_milli=6000,
            minor=3000,
        ),
    )
    desk.store.close()
    week_screen(qtbot, window)
    window.go("review")
    review = window.screens.current
    assert isinstance(review, ReviewScreen)
    qtbot.waitUntil(lambda: "123.45" in review.told.text())
    review.view.setCurrentIndex(1)
    assert "153.45" in review.told.text()


def test_rows_get_their_buttons_when_they_come_into_sight(
    make_window: Callable[..., Window], path: Path, qtbot: QtBot
) -> None:
    desk = desk_on(path)
    tub = this_week(desk).late[0].tub
    for number in range(60):
        add_task(desk, tub, title=f"Wipe part {number}")
    desk.store.close()
    window = window_on(make_window, path)
    screen = week_screen(qtbot, window)
    names = {button.accessibleName() for button in screen.tree.findChildren(TickButton)}
    screen.tree.scrollToBottom()
    last = screen.tree.findChildren(TickButton)[-1]
    assert 1 < len(names) < 60
    assert last.accessibleName() not in names
    QTest.mouseClick(last, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
