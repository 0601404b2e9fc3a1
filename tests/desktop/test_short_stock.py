"""What the shelf lacks for a task: in its row of This week, in the message, on the shelf."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.desks import desk_on, new_desk, window_on
from tests.support.plans import add_task, add_tub
from tests.support.purchases import buy_filters
from tubcare.desktop.tasks_screen import TasksScreen
from tubcare.desktop.tub_screen import TubScreen
from tubcare.desktop.week_model import Column
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.supplies import supplies

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

LACK = "Filter: only 1 on the shelf, this takes 2"
OLD = "Filter: some on the shelf keeps only until 1 May 2026"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    desk = new_desk(tmp_path / "a.db")
    filters = buy_filters(desk, 1, expires_on=date(2026, 5, 1))
    add_task(desk, add_tub(desk, zone="UTC"), supplies={filters: 2000})
    desk.store.close()
    return tmp_path / "a.db"


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return window_on(make_window, path)


@pytest.fixture
def week(qtbot: QtBot, window: Window) -> WeekScreen:
    screen = window.screens.current
    assert isinstance(screen, WeekScreen)
    qtbot.waitUntil(lambda: screen.model.rowCount() > 0)
    screen.tree.setFocus()
    return screen


def test_the_row_says_first_what_the_shelf_lacks_and_a_screen_reader_hears_it(
    week: WeekScreen,
) -> None:
    task = week.tree.currentIndex()
    why = task.siblingAtColumn(Column.WHY).data()
    assert why.startswith(f"{LACK}; {OLD}; ")
    assert LACK in task.data(Qt.ItemDataRole.AccessibleTextRole)


def test_the_tick_is_recorded_all_the_same_and_the_message_says_what_was_missing(
    qtbot: QtBot, window: Window, week: WeekScreen, path: Path
) -> None:
    QTest.keyClick(week.tree, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
    assert "Filter: 1 was on the shelf, this took 2." in window.strip.text
    assert "Filter: some of it kept only until 1 May 2026." in window.strip.text
    desk = desk_on(path)
    assert supplies(desk)[0].quantity_milli == -1000
    desk.store.close()


def test_the_page_of_the_task_says_what_the_shelf_lacks(qtbot: QtBot, window: Window) -> None:
    window.go("tasks")
    screen = window.screens.current
    assert isinstance(screen, TasksScreen)
    qtbot.waitUntil(lambda: LACK in screen.page.lacks.text())
    assert OLD in screen.page.lacks.text()


def test_the_shelf_says_how_long_its_stock_is_good(qtbot: QtBot, window: Window) -> None:
    window.go("tub")
    screen = window.screens.current
    assert isinstance(screen, TubScreen)
    screen.show_subject("shelf")
    table = screen.shelf().table
    qtbot.waitUntil(lambda: table.model().rowCount() == 1)
    shown = [table.model().index(0, at).data() for at in range(table.model().columnCount())]
    assert "1 May 2026; look at it" in shown
