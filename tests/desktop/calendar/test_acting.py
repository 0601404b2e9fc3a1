"""What is done from the calendar: ticked off, opened, skipped."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.audit import audit
from tests.desktop.calendar.conftest import TODAY, Ctrl, Key, action_of, go, names, spoken
from tests.desktop.conftest import said
from tubcare.desktop.tasks_screen import TasksScreen

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.calendar_screen import CalendarScreen
    from tubcare.desktop.shell import Window


def test_space_ticks_off_and_undo_brings_it_back(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    go(qtbot, screen, date(2026, 5, 1))
    QTest.keyClick(screen.views.month, Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded: Swap the filter cartridge" in window.strip.text)
    qtbot.waitUntil(lambda: "Swap the filter cartridge · North, Done" in spoken(screen, TODAY))
    window.menus.undo.trigger()
    assert "Taken back" in said(qtbot, window)
    assert "Overdue" in spoken(screen, date(2026, 5, 1))


def test_a_round_is_one_line_and_one_tick(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    go(qtbot, screen, date(2026, 5, 12))
    assert names(screen) == ["Sunday round"]
    assert "Sunday round (3 tasks) · North, Coming" in spoken(screen, date(2026, 5, 12))
    QTest.keyClick(screen.views.month, Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded: 3 tasks" in window.strip.text)
    qtbot.waitUntil(lambda: "Sunday round (3 tasks) · North, Done" in spoken(screen, TODAY))


def test_enter_opens_the_task(qtbot: QtBot, window: Window, screen: CalendarScreen) -> None:
    go(qtbot, screen, date(2026, 5, 9))
    line = screen.views.line
    assert line is not None
    QTest.keyClick(screen.views.month, Key.Key_Return)
    assert isinstance(window.screens.current, TasksScreen)


def test_a_click_chooses_day_and_line_and_a_double_click_opens_the_task(
    window: Window, screen: CalendarScreen
) -> None:
    month = screen.views.month
    line = month.line_rect(date(2026, 5, 9), 0)
    assert line is not None
    QTest.mouseClick(month.viewport(), Qt.MouseButton.LeftButton, pos=line.center())
    chosen = screen.views.line
    assert chosen is not None
    assert (chosen.name, month.on) == ("Test the water", date(2026, 5, 9))
    QTest.mouseDClick(month.viewport(), Qt.MouseButton.LeftButton, pos=line.center())
    assert window.screens.key == "tasks"


def test_details_and_skipping_stand_beside_the_calendar(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    go(qtbot, screen, date(2026, 5, 1))
    QTest.keyClick(screen.views.month, Key.Key_K, Ctrl)
    qtbot.waitUntil(screen.side.pane.isVisible)
    assert not screen.views.panel.isVisible()
    assert audit(window) == []
    screen.side.pane.leave()
    assert screen.views.panel.isVisible()
    assert window.focusWidget() is screen.views.month
    QTest.keyClick(screen.views.month, Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded: Swap" in window.strip.text)
    screen.side.teller.details()
    qtbot.waitUntil(screen.side.pane.isVisible)


def test_an_empty_day_says_that_there_is_nothing_to_act_on(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    go(qtbot, screen, date(2026, 5, 8))
    QTest.keyClick(screen.views.month, Key.Key_Space)
    assert "There is no task here" in window.strip.text
    assert screen.views.panel.why.text() == "Nothing on this day."


def test_the_agenda_lists_the_same_lines_with_why_and_acts_alike(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    action_of(screen, "Month or &agenda").trigger()
    agenda = screen.views.agenda
    assert agenda.hasFocus()
    rows = agenda.rows_model.rows
    assert [r.line.name for r in rows[:2] if r.line] == [
        "Swap the filter cartridge",
        "Rinse the filter",
    ]
    assert agenda.rows_model.index(0, 3).data() == "35 days since 1 Apr; every 30 days"
    agenda.setCurrentIndex(agenda.rows_model.index(0, 0))
    QTest.keyClick(agenda, Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded: Swap the filter cartridge" in window.strip.text)
