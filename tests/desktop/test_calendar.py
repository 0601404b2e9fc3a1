"""The calendar on a real logbook: by keyboard, by mouse, and told to screen readers."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QPushButton

from tests.desktop.audit import audit
from tests.desktop.conftest import settle
from tests.desktop.test_theme import STATES, contrast, shape
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.care.model import TubState
from tubcare.desktop.calendar_drawing import season_shade
from tubcare.desktop.calendar_screen import CalendarScreen
from tubcare.desktop.icons import Icons
from tubcare.desktop.marks import MARKS
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.tasks_screen import TasksScreen
from tubcare.services.calendar import EntryKind
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.tubs import enter_state
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.week import this_week
from tubcare.store.open import open_store
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtGui import QAction, QColor
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.screen import Screen
    from tubcare.desktop.shell import Window
    from tubcare.desktop.theme import Theme
    from tubcare.services.calendar import Day

NOW = noon(2026, 5, 6)
TODAY = NOW.date()
Key = Qt.Key
Ctrl = Qt.KeyboardModifier.ControlModifier
WEEKLY = [{"kind": "elapsed", "every": 7, "period": "day"}]


def open_desk(path: Path) -> Desk:
    return Desk(open_store(path, NOW), StillClock(NOW), "Ann")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Two tubs: one task late since 1 May, one done on the 4th, one open on the 9th, a round."""
    path = tmp_path / "a.db"
    desk = open_desk(path)
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    north = add_tub(desk, zone="UTC")
    south = add_tub(desk, name="South", zone="UTC")
    add_task(desk, north, no_grace=True)
    add_task(desk, south, title="Test the water", triggers=WEEKLY, starts_on=date(2026, 5, 2))
    for title in ("Skim", "Wipe the rim", "Look at the lid"):
        add_task(
            desk,
            north,
            title=title,
            triggers=WEEKLY,
            starts_on=date(2026, 5, 5),
            round_name="Sunday round",
        )
    rinsed = add_task(desk, north, title="Rinse the filter", starts_on=date(2026, 4, 1))
    desk.clock = StillClock(noon(2026, 5, 4))
    tick_off(desk, rinsed, f"start:{rinsed}")
    desk.store.close()
    return path


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return make_window(sections=SECTIONS, open_logbook=lambda: OpenLogbook(open_desk(path)))


@pytest.fixture
def screen(qtbot: QtBot, window: Window) -> CalendarScreen:
    window.go("calendar")
    found = window.screens.current
    assert isinstance(found, CalendarScreen)
    qtbot.waitUntil(lambda: found.views.model.rowCount() > 0)
    # So that keys reach the window as they do for a person.
    window.activateWindow()
    assert QTest.qWaitForWindowActive(window, 1000)
    return found


def go(qtbot: QtBot, screen: CalendarScreen, on: date) -> None:
    screen.go_to(on)
    qtbot.waitUntil(lambda: screen.views.model.index_of(on).isValid())
    qtbot.waitUntil(lambda: screen.views.panel.heading.text().startswith(f"{on:%a}"))


def action_of(screen: CalendarScreen, text: str) -> QAction:
    return next(a for a in screen.menu_actions if a.text() == text)


def spoken(screen: CalendarScreen, on: date) -> str:
    index = screen.views.model.index_of(on)
    return str(index.data(Qt.ItemDataRole.AccessibleTextRole))


def names(screen: CalendarScreen) -> list[str]:
    return [line.name for line in screen.views.panel.table.rows_model.rows]


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
        open_logbook=lambda: OpenLogbook(open_desk(path)),
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


def test_space_ticks_off_and_undo_brings_it_back(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    go(qtbot, screen, date(2026, 5, 1))
    QTest.keyClick(screen.views.month, Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded: Swap the filter cartridge" in window.strip.text)
    qtbot.waitUntil(lambda: "Swap the filter cartridge · North, Done" in spoken(screen, TODAY))
    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: "Overdue" in spoken(screen, date(2026, 5, 1)))


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


def test_dragging_moves_a_date_and_undo_brings_it_back(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    drag(screen, date(2026, 5, 9), date(2026, 5, 14))
    qtbot.waitUntil(lambda: "Moved to Thu 14 May: Test the water." in window.strip.text)
    qtbot.waitUntil(lambda: "Test the water · South" in spoken(screen, date(2026, 5, 14)))
    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: "Test the water · South, Coming" in spoken(screen, date(2026, 5, 9)))


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


def test_dragging_what_is_foreseen_says_why_it_stays(
    window: Window, screen: CalendarScreen
) -> None:
    drag(screen, date(2026, 5, 16), date(2026, 5, 15))
    assert "only foreseen" in window.strip.text
    assert "Foreseen" in spoken(screen, date(2026, 5, 16))


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


def test_one_tub_can_be_shown_alone(qtbot: QtBot, screen: CalendarScreen) -> None:
    tubs = screen.views.tubs
    tubs.setCurrentIndex(2)
    tubs.activated.emit(2)
    qtbot.waitUntil(lambda: "nothing on this day" in spoken(screen, date(2026, 5, 1)))
    assert "Test the water, Coming" in spoken(screen, date(2026, 5, 9))
    assert [tubs.itemText(n) for n in range(tubs.count())] == ["All tubs", "North", "South"]


def test_the_season_is_told_as_fact_and_as_plan(
    qtbot: QtBot, screen: CalendarScreen, path: Path
) -> None:
    assert "North: open since 1 Apr, closes on 1 Nov as planned" in screen.subtitle.text()
    go(qtbot, screen, date(2026, 11, 1))
    assert "Closes, planned: North" in screen.views.panel.season.text()
    desk = open_desk(path)
    enter_state(desk, this_week(desk).late[0].tub, TubState.CLOSED, TODAY)
    desk.store.close()
    screen.refresh()
    qtbot.waitUntil(lambda: "North: closed since 6 May" in screen.subtitle.text())
    go(qtbot, screen, TODAY)
    assert "Closed: North" in spoken(screen, TODAY)


def test_a_full_day_shows_few_lines_says_how_many_more_and_lists_all_beside(
    qtbot: QtBot, screen: CalendarScreen, path: Path
) -> None:
    desk = open_desk(path)
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


def test_the_calendar_passes_the_audit_with_both_views(
    window: Window, screen: CalendarScreen
) -> None:
    window.resize(1280, 800)
    assert audit(window) == []
    action_of(screen, "Month or &agenda").trigger()
    assert audit(window) == []


def test_every_drag_has_an_equal_in_the_menu(screen: CalendarScreen) -> None:
    texts = [action.text().replace("&", "") for action in screen.menu_actions]
    assert {"Move to…", "Move a day later", "Move a day earlier"} <= set(texts)


@pytest.mark.parametrize("appearance", ["light", "dark"])
def test_text_can_be_read_on_the_shading_of_the_season(theme: Theme, appearance: str) -> None:
    # WCAG 2.2, 1.4.3: 4.5:1.
    from tubcare.desktop.theme import Appearance

    theme.choose(Appearance(appearance))
    shades = theme.shades
    grounds: tuple[QColor, ...] = (season_shade(theme), shades.colour("band"))
    poor = [
        role
        for role in ("text", "muted", "link", *STATES)
        for ground in grounds
        if contrast(shades.colour(role), ground) < 4.5
    ]
    assert poor == []
    theme.choose(Appearance.SYSTEM)


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


def test_an_empty_day_says_that_there_is_nothing_to_act_on(
    qtbot: QtBot, window: Window, screen: CalendarScreen
) -> None:
    go(qtbot, screen, date(2026, 5, 8))
    QTest.keyClick(screen.views.month, Key.Key_Space)
    assert "There is no task here" in window.strip.text
    assert screen.views.panel.why.text() == "Nothing on this day."


@pytest.mark.parametrize("percent", ["100", "150"])
def test_the_calendar_and_the_grid_fit_the_smallest_window(
    qtbot: QtBot, window: Window, theme: Theme, percent: str
) -> None:
    # 1024 x 600 with the usual text; half as large again needs 1280 x 720.
    while theme.text_percent < int(percent):
        theme.larger_text()
    wide, high = {"100": (1024, 600), "150": (1280, 720)}[percent]
    for key in ("calendar", "catch_up"):
        window.go(key)
        qtbot.waitUntil(lambda: not window.work.busy)
        least = window.minimumSizeHint()
        assert (least.width() <= wide, least.height() <= high) == (True, True), key


def test_the_plan_is_written_for_other_calendar_programs(
    qtbot: QtBot, window: Window, screen: CalendarScreen, tmp_path: Path
) -> None:
    target = tmp_path / "plan.ics"
    screen.export.export_to(target)
    qtbot.waitUntil(lambda: str(target) in window.strip.text)
    text = target.read_bytes().decode()
    assert text.startswith("BEGIN:VCALENDAR\r\n")
    assert "SUMMARY:Test the water · South" in text
    screen.export.export_to(tmp_path / "nowhere" / "plan.ics")
    qtbot.waitUntil(lambda: "Choose another place" in window.strip.text)


def test_without_a_tub_it_says_why_it_is_empty_and_offers_to_describe_one(
    qtbot: QtBot, make_window: Callable[..., Window], tmp_path: Path
) -> None:
    desk = open_desk(tmp_path / "empty.db")
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    window = make_window(sections=SECTIONS, open_logbook=lambda: OpenLogbook(desk))
    for key in ("calendar", "catch_up"):
        window.go(key)
        qtbot.waitUntil(lambda: not window.work.busy)
        screen = window.screens.current
        assert screen is not None
        enabled = [a.text() for a in screen.menu_actions if a.isEnabled()]
        assert enabled == ["Desc&ribe a tub…"]
        assert audit(window) == []
        screen.menu_actions[enabled_at(screen)].trigger()
        assert window.screens.key == "tub"


def enabled_at(screen: Screen) -> int:
    return next(n for n, action in enumerate(screen.menu_actions) if action.isEnabled())


def test_the_tub_that_is_shown_alone_is_remembered(
    qtbot: QtBot,
    screen: CalendarScreen,
    make_window: Callable[..., Window],
    path: Path,
) -> None:
    screen.views.tubs.setCurrentIndex(2)
    screen.views.tubs.activated.emit(2)
    qtbot.waitUntil(lambda: not screen.context.work.busy)
    again = make_window(sections=SECTIONS, open_logbook=lambda: OpenLogbook(open_desk(path)))
    again.go("calendar")
    qtbot.waitUntil(lambda: not again.work.busy)
    shown = again.screens.current
    assert isinstance(shown, CalendarScreen)
    assert shown.views.tubs.currentText() == "South"


def test_a_title_with_angle_brackets_is_shown_as_text(
    qtbot: QtBot, screen: CalendarScreen, path: Path
) -> None:
    desk = open_desk(path)
    add_task(desk, this_week(desk).late[0].tub, title="<b>Rinse</b> & dry", starts_on=TODAY)
    desk.store.close()
    screen.refresh()
    on = TODAY + timedelta(days=30)
    go(qtbot, screen, on)
    tip = screen.views.model.index_of(on).data(Qt.ItemDataRole.ToolTipRole)
    assert "&lt;b&gt;Rinse&lt;/b&gt; &amp; dry" in str(tip)
    assert screen.views.panel.why.textFormat() is Qt.TextFormat.PlainText


def test_what_is_foreseen_has_a_shape_of_its_own(theme: Theme) -> None:
    icons = Icons(theme)
    foreseen = shape(icons, "foreseen")
    for mark in MARKS.values():
        other = shape(icons, mark.icon)
        assert sum(a != b for a, b in zip(foreseen, other, strict=True)) >= 30, mark.icon
