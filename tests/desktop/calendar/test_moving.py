"""Dates are moved in the calendar: by keys, by typing, by dragging."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from tests.desktop.calendar.conftest import Ctrl, Key, action_of, go, names, spoken
from tests.desktop.conftest import said, settle

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.calendar_screen import CalendarScreen
    from tubcare.desktop.shell import Window


def test_control_and_arrows_move_by_a_day_and_the_choice_follows(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    go(qtbot, screen, date(2026, 5, 9))
    QTest.keyClick(screen.views.month, Key.Key_Right, Ctrl)
    qtbot.waitUntil(lambda: "Moved to Sun 10 May: Test the water." in window.strip.text)
    qtbot.waitUntil(lambda: screen.views.month.on == date(2026, 5, 10))
    qtbot.waitUntil(lambda: screen.views.line is not None)
    assert names(screen) == ["Test the water"]
    assert "nothing on this day" in spoken(screen, date(2026, 5, 9))
    QTest.keyClick(screen.views.month, Key.Key_Left, Ctrl)
    qtbot.waitUntil(lambda: "Moved to Sat 9 May" in window.strip.text)
    # Only what is put off, moved later that is, asks whether its rule fits.
    assert not window.notices.findChildren(QPushButton)
    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: "Test the water" in spoken(screen, date(2026, 5, 10)))


@pytest.mark.parametrize(
    ("on", "reason"),
    [
        (date(2026, 5, 4), "was done on this day"),
        (date(2026, 5, 16), "only foreseen"),
        (date(2026, 5, 1), "a day after today"),
    ],
)
def test_what_cannot_be_moved_says_why(
    qtbot: QtBot, window: Window, screen: CalendarScreen, on: date, reason: str
) -> None:
    go(qtbot, screen, on)
    QTest.keyClick(screen.views.month, Key.Key_Right, Ctrl)
    assert reason in window.strip.text
    go(qtbot, screen, on)
    assert len(names(screen)) == 1


def test_a_date_can_be_typed_to_move_to(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    go(qtbot, screen, date(2026, 5, 9))
    action_of(screen, "&Move to…").trigger()
    entry = screen.moving.entry
    assert entry is not None
    assert entry.hasFocus()
    entry.selectAll()
    QTest.keyClicks(entry, "soon")
    QTest.keyClick(entry, Key.Key_Return)
    assert entry.property("faulty")
    entry.selectAll()
    QTest.keyClicks(entry, "20 May")
    QTest.keyClick(entry, Key.Key_Return)
    qtbot.waitUntil(lambda: "Moved to Wed 20 May" in window.strip.text)
    qtbot.waitUntil(lambda: "Test the water · South, Coming" in spoken(screen, date(2026, 5, 20)))
    assert screen.moving.isHidden()


def test_put_off_twice_in_a_row_asks_whether_the_rule_fits(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    for day in (10, 11):
        go(qtbot, screen, date(2026, 5, day - 1))
        qtbot.waitUntil(lambda: screen.views.line is not None)
        with qtbot.waitSignal(window.strip.said):
            QTest.keyClick(screen.views.month, Key.Key_Right, Ctrl)
        settle(qtbot, window)
    assert "Moved to Mon 11 May" in window.strip.text
    texts = {b.text() for b in window.notices.findChildren(QPushButton)}
    assert {"Longer interval", "Drop it"} <= texts


def drag(screen: CalendarScreen, on: date, to: date) -> None:
    month = screen.views.month
    start = month.line_rect(on, 0)
    assert start is not None
    end = month.visualRect(screen.views.model.index_of(to)).center()
    left = Qt.MouseButton.LeftButton
    QTest.mousePress(month.viewport(), left, pos=start.center())
    QTest.mouseMove(month.viewport(), start.center() + QPoint(12, 12))
    QTest.mouseMove(month.viewport(), end)
    QTest.mouseRelease(month.viewport(), left, pos=end)


def test_dragging_moves_a_date_and_undo_brings_it_back(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    drag(screen, date(2026, 5, 9), date(2026, 5, 14))
    assert "Moved to Thu 14 May: Test the water." in said(qtbot, window)
    assert "Test the water · South" in spoken(screen, date(2026, 5, 14))
    window.menus.undo.trigger()
    assert "Taken back" in said(qtbot, window)
    assert "Test the water · South, Coming" in spoken(screen, date(2026, 5, 9))


def test_escape_leaves_a_drag_where_it_began(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    month = screen.views.month
    start = month.line_rect(date(2026, 5, 9), 0)
    assert start is not None
    end = month.visualRect(screen.views.model.index_of(date(2026, 5, 14))).center()
    left = Qt.MouseButton.LeftButton
    QTest.mousePress(month.viewport(), left, pos=start.center())
    QTest.mouseMove(month.viewport(), start.center() + QPoint(12, 12))
    QTest.mouseMove(month.viewport(), end)
    QTest.keyClick(month, Key.Key_Escape)
    QTest.mouseRelease(month.viewport(), left, pos=end)
    qtbot.waitUntil(lambda: not window.work.busy)
    assert window.strip.text == ""
    assert "Test the water · South, Coming" in spoken(screen, date(2026, 5, 9))


def test_dragging_what_is_foreseen_says_why_it_stays(
    window: Window, screen: CalendarScreen
) -> None:
    drag(screen, date(2026, 5, 16), date(2026, 5, 15))
    assert "only foreseen" in window.strip.text
    assert "Foreseen" in spoken(screen, date(2026, 5, 16))


def test_every_drag_has_an_equal_in_the_menu(screen: CalendarScreen) -> None:
    texts = [action.text().replace("&", "") for action in screen.menu_actions]
    assert {"Move to…", "Move a day later", "Move a day earlier"} <= set(texts)
