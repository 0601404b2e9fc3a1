"""The month: told day by day, gone through by keys, with its season and its tubs."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest

from tests.desktop.calendar.conftest import TODAY, WEEKLY, Ctrl, Key, action_of, go, names, spoken
from tests.desktop.desks import desk_on, window_on
from tests.support.plans import add_task
from tubcare.care.model import TubState
from tubcare.desktop.calendar_screen import CalendarScreen
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.services.calendar import EntryKind
from tubcare.services.tubs import enter_state
from tubcare.services.week import this_week
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.services.calendar import Day


def test_each_day_is_told_in_words_with_the_state_of_each_line(screen: CalendarScreen) -> None:
    assert "Swap the filter cartridge · North, Overdue" in spoken(screen, date(2026, 5, 1))
    assert "Rinse the filter · North, Done" in spoken(screen, date(2026, 5, 4))
    assert "today" in spoken(screen, TODAY)
    assert "Test the water · South, Coming" in spoken(screen, date(2026, 5, 9))
    assert "Test the water · South, Foreseen" in spoken(screen, date(2026, 5, 16))
    assert "North open, planned" in spoken(screen, date(2026, 5, 16))
    assert "North open;" in spoken(screen, date(2026, 5, 4)) + ";"


def test_the_model_keeps_to_the_rules_of_qt(screen: CalendarScreen) -> None:
    mode = QAbstractItemModelTester.FailureReportingMode.Fatal
    tester = QAbstractItemModelTester(screen.views.model, mode)
    screen.refresh()
    assert tester.model() is screen.views.model
    assert screen.views.model.columnCount() == 7


def test_arrows_go_by_days_home_and_end_through_the_week(screen: CalendarScreen) -> None:
    month = screen.views.month
    month.setFocus()
    for key, day in ((Key.Key_Right, 7), (Key.Key_Down, 14), (Key.Key_Left, 13), (Key.Key_Up, 6)):
        QTest.keyClick(month, key)
        assert month.on == date(2026, 5, day)
    # 6 May 2026 is a Wednesday; a week in Britain starts on Monday.
    QTest.keyClick(month, Key.Key_Home)
    assert month.on == date(2026, 5, 4)
    QTest.keyClick(month, Key.Key_End)
    assert month.on == date(2026, 5, 10)


def test_page_keys_go_by_months_and_keep_the_day_where_it_exists(
    qtbot: QtBot, screen: CalendarScreen
) -> None:
    go(qtbot, screen, date(2026, 5, 31))
    month = screen.views.month
    QTest.keyClick(month, Key.Key_PageDown)
    qtbot.waitUntil(lambda: screen.views.heading.text() == "June 2026")
    assert month.on == date(2026, 6, 30)
    QTest.keyClick(month, Key.Key_PageUp, Qt.KeyboardModifier.ShiftModifier)
    qtbot.waitUntil(lambda: screen.views.heading.text() == "June 2025")
    action_of(screen, "To&day").trigger()
    qtbot.waitUntil(lambda: screen.views.heading.text() == "May 2026")
    assert month.on == TODAY


@pytest.mark.parametrize(("tag", "first"), [("en_GB", "Monday"), ("en_US", "Sunday")])
def test_a_week_starts_where_the_locale_says(
    qtbot: QtBot,
    make_window: Callable[..., Window],
    path: Path,
    monkeypatch: pytest.MonkeyPatch,
    tag: str,
    first: str,
) -> None:
    for name in ("LANGUAGE", "LC_TIME", "LANG"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LC_ALL", f"{tag}.UTF-8")
    window = make_window(
        sections=SECTIONS,
        open_logbook=lambda: OpenLogbook(desk_on(path)),
        speech=speech_for({}, chosen=tag),
    )
    window.go("calendar")
    screen = window.screens.current
    assert isinstance(screen, CalendarScreen)
    qtbot.waitUntil(lambda: screen.views.model.rowCount() > 0)
    assert screen.views.model.headerData(0, Qt.Orientation.Horizontal) == first
    assert screen.views.model.index_of(date(2026, 5, 4)).column() == (
        0 if first == "Monday" else 1
    )


def test_go_to_takes_any_day_and_says_what_lies_outside(
    qtbot: QtBot, screen: CalendarScreen
) -> None:
    action_of(screen, "&Go to…").trigger()
    entry = screen.going.entry
    assert entry is not None
    entry.setText("1.1.1500")
    QTest.keyClick(entry, Key.Key_Return)
    assert entry.property("faulty")
    entry.setText("24/12/2027")
    QTest.keyClick(entry, Key.Key_Return)
    qtbot.waitUntil(lambda: screen.views.heading.text() == "December 2027")
    assert screen.views.month.hasFocus()


def test_one_tub_can_be_shown_alone(qtbot: QtBot, screen: CalendarScreen) -> None:
    tubs = screen.views.tubs
    tubs.setCurrentIndex(2)
    tubs.activated.emit(2)
    qtbot.waitUntil(lambda: "nothing on this day" in spoken(screen, date(2026, 5, 1)))
    assert "Test the water, Coming" in spoken(screen, date(2026, 5, 9))
    assert [tubs.itemText(n) for n in range(tubs.count())] == ["All tubs", "North", "South"]


def test_the_tub_that_is_shown_alone_is_remembered(
    qtbot: QtBot,
    screen: CalendarScreen,
    make_window: Callable[..., Window],
    path: Path,
) -> None:
    screen.views.tubs.setCurrentIndex(2)
    screen.views.tubs.activated.emit(2)
    qtbot.waitUntil(lambda: not screen.context.work.busy)
    again = window_on(make_window, path)
    again.go("calendar")
    qtbot.waitUntil(lambda: not again.work.busy)
    shown = again.screens.current
    assert isinstance(shown, CalendarScreen)
    assert shown.views.tubs.currentText() == "South"


def test_the_season_is_told_as_fact_and_as_plan(
    qtbot: QtBot, screen: CalendarScreen, path: Path
) -> None:
    assert "North: open since 1 Apr, closes on 1 Nov as planned" in screen.subtitle.text()
    go(qtbot, screen, date(2026, 11, 1))
    assert "Closes, planned: North" in screen.views.panel.season.text()
    desk = desk_on(path)
    enter_state(desk, this_week(desk).late[0].tub, TubState.CLOSED, TODAY)
    desk.store.close()
    screen.refresh()
    qtbot.waitUntil(lambda: "North: closed since 6 May" in screen.subtitle.text())
    go(qtbot, screen, TODAY)
    assert "Closed: North" in spoken(screen, TODAY)


def test_a_full_day_shows_few_lines_says_how_many_more_and_lists_all_beside(
    qtbot: QtBot, screen: CalendarScreen, path: Path
) -> None:
    desk = desk_on(path)
    tub = this_week(desk).late[0].tub
    for n in range(9):
        add_task(desk, tub, title=f"Chore {n}", triggers=WEEKLY, starts_on=date(2026, 5, 14))
    desk.store.close()
    screen.refresh()
    on = date(2026, 5, 21)
    qtbot.waitUntil(lambda: "Chore 8" in spoken(screen, on))
    go(qtbot, screen, on)
    month = screen.views.month
    assert len(names(screen)) == 9
    assert month.line_rect(on, 8) is None
    for _ in range(8):
        QTest.keyClick(month, Key.Key_Down, Ctrl)
    line = screen.views.line
    assert line is not None
    assert line.name == "Chore 8"
    assert month.line_rect(on, 8) is not None
    go(qtbot, screen, TODAY)
    corner = month.visualRect(screen.views.model.index_of(on)).bottomLeft()
    more = corner + QPoint(30, -12)
    QTest.mouseClick(month.viewport(), Qt.MouseButton.LeftButton, pos=more)
    assert month.on == on
    assert screen.window().focusWidget() is screen.views.panel.table


def test_far_dates_do_not_stop_the_calendar(qtbot: QtBot, screen: CalendarScreen) -> None:
    month = screen.views.month
    go(qtbot, screen, date(2199, 11, 30))
    QTest.keyClick(month, Key.Key_PageDown, Qt.KeyboardModifier.ShiftModifier)
    screen.go_to(date.max)
    assert month.on == date(2199, 11, 30)
    go(qtbot, screen, TODAY + timedelta(days=365 * 9))
    assert any(line.kind is EntryKind.FORESEEN for d in days(screen) for line in d.lines)


def days(screen: CalendarScreen) -> tuple[Day, ...]:
    shown = screen.views.model.shown
    return () if shown is None else shown.calendar.days
