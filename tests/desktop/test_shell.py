"""The frame of the window: sections, messages, menus, keyboard, what it remembers."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, QSize, Qt
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QMenu, QPushButton

from tests.desktop.audit import audit
from tests.desktop.conftest import settle
from tests.desktop.fake_section import SECTIONS, EmptyScreen, NotesLogbook, NotesScreen
from tubcare.desktop.closed_page import ClosedPage
from tubcare.desktop.notices import Answer, Notice
from tubcare.desktop.strip import SHOWN_MS
from tubcare.desktop.theme import Appearance
from tubcare.errors import StoreTooNewError

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.keeping import Keeping
    from tubcare.desktop.shell import Window
    from tubcare.desktop.theme import Theme


def notes_of(window: Window) -> NotesScreen:
    screen = window.screens.current
    assert isinstance(screen, NotesScreen)
    return screen


def all_actions(menu: QMenu) -> list[QAction]:
    found = []
    for action in menu.actions():
        inner = action.menu()
        found += all_actions(inner) if isinstance(inner, QMenu) else [action]
    return found


@pytest.mark.parametrize("appearance", [Appearance.LIGHT, Appearance.DARK])
@pytest.mark.parametrize("steps", [0, 3])
@pytest.mark.parametrize("key", [section.key for section in SECTIONS])
def test_nothing_is_wrong_with_the_window(
    make_window: Callable[..., Window],
    theme: Theme,
    appearance: Appearance,
    steps: int,
    key: str,
    qtbot: QtBot,
) -> None:
    theme.choose(appearance)
    for _ in range(steps):
        theme.larger_text()
    window = make_window()
    window.resize(1024, 600)
    window.go(key)
    window.strip.say("Recorded: filter rinsed", undo=window.raise_, details=window.raise_)
    answers = (Answer(text="Tick off", call=window.raise_),)
    window.notices.put(
        Notice(key="a", title="Rinse the filter", text="Due today", answers=answers)
    )
    settle(qtbot, window)
    qtbot.waitUntil(lambda: window.notices.height() > 0)
    assert audit(window) == []


def test_the_window_mirrors_for_writing_from_right_to_left(
    make_window: Callable[..., Window], qapp: QApplication
) -> None:
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    try:
        window = make_window()
        assert window.sidebar.mapTo(window, QPoint(0, 0)).x() > window.width() // 2
        assert audit(window, skip=("tab_faults",)) == []
    finally:
        qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


def test_the_logbook_is_opened_after_the_window_was_painted(
    make_window: Callable[..., Window], qtbot: QtBot, logbook: NotesLogbook
) -> None:
    order: list[str] = []

    def open_it() -> NotesLogbook:
        order.append("opened")
        return logbook

    window = make_window(opened=False, open_logbook=open_it)
    window._opening.painted.connect(lambda _: order.append("painted"))
    with qtbot.waitSignal(window.opened, timeout=5000):
        window.show()
    assert order == ["painted", "opened"]


def test_a_section_is_made_when_it_is_first_shown(make_window: Callable[..., Window]) -> None:
    window = make_window()
    assert not window.findChildren(EmptyScreen)
    window.go("ledger")
    assert len(window.findChildren(EmptyScreen)) == 1
    window.go("week")
    window.go("ledger")
    assert len(window.findChildren(EmptyScreen)) == 1


def test_number_keys_and_the_sidebar_go_to_sections_and_back_returns(
    make_window: Callable[..., Window],
) -> None:
    window = make_window()
    QTest.keyClick(window, Qt.Key.Key_2, Qt.KeyboardModifier.ControlModifier)
    assert window.screens.key == "ledger"
    window.sidebar.setFocus()
    QTest.keyClick(window.sidebar, Qt.Key.Key_Up)
    assert window.screens.key == "week"
    assert window.focusWidget() is window.sidebar
    QTest.keyClick(window, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert window.screens.key == "ledger"


def test_only_screens_that_are_concerned_read_anew_and_hidden_ones_later(
    make_window: Callable[..., Window], qtbot: QtBot, logbook: NotesLogbook
) -> None:
    window = make_window()
    notes = notes_of(window)
    window.go("ledger")
    empty = window.screens.current
    assert isinstance(empty, EmptyScreen)
    window.work.on_logbook(lambda: logbook.add("Check the lid"), done=lambda _: None)
    settle(qtbot, window)
    assert (notes.refreshed, empty.refreshed) == (1, 1)
    window.go("week")
    settle(qtbot, window)
    assert notes.refreshed == 2
    assert notes.list.count() == 2


def test_undo_is_named_and_takes_back_what_was_done(
    make_window: Callable[..., Window], qtbot: QtBot, logbook: NotesLogbook
) -> None:
    window = make_window()
    screen = notes_of(window)
    screen.field.setText("Oil R&D bench")
    screen.add.trigger()
    settle(qtbot, window)
    assert window.strip.text == "Added: Oil R&D bench"
    assert window.menus.undo.text() == "&Undo: add “Oil R&&D bench”"
    assert window.windowTitle().startswith("(2) Notes")
    window.menus.undo.trigger()
    settle(qtbot, window)
    assert logbook.notes == ["Rinse the filter"]
    assert window.menus.redo.isEnabled()
    window.menus.redo.trigger()
    settle(qtbot, window)
    assert logbook.notes[-1] == "Oil R&D bench"


def test_the_strip_takes_back_by_keyboard_and_goes_away_by_itself(
    make_window: Callable[..., Window], qtbot: QtBot, logbook: NotesLogbook
) -> None:
    window = make_window()
    screen = notes_of(window)
    screen.field.setText("Oil the bench")
    screen.add.trigger()
    settle(qtbot, window)
    assert window.strip._timer.interval() == SHOWN_MS
    assert window.strip._timer.isActive()
    window.menus.message.trigger()
    button = window.focusWidget()
    assert isinstance(button, QPushButton)
    assert button.text() == "Undo"
    assert not window.strip._timer.isActive()
    QTest.keyClick(button, Qt.Key.Key_Space)
    settle(qtbot, window)
    assert logbook.notes == ["Rinse the filter"]
    window.strip._timer.timeout.emit()
    assert window.strip.text == ""


def test_f6_goes_round_the_parts_of_the_window(make_window: Callable[..., Window]) -> None:
    window = make_window()
    window.strip.say("Something was done")
    window.sidebar.setFocus()
    seen = []
    for _ in range(3):
        QTest.keyClick(window, Qt.Key.Key_F6)
        focused = window.focusWidget()
        seen.append(
            "strip"
            if window.strip.isAncestorOf(focused)
            else "screen"
            if window.screens.isAncestorOf(focused)
            else "sidebar"
        )
    assert seen == ["screen", "strip", "sidebar"]


def test_every_action_is_found_in_the_menu(make_window: Callable[..., Window]) -> None:
    window = make_window()
    found = set()
    for top in window.menuBar().actions():
        menu = top.menu()
        assert isinstance(menu, QMenu)
        found |= {id(action) for action in all_actions(menu)}
    screen = window.screens.current
    assert screen is not None
    shown = [
        a for a in window.findChildren(QAction) if a.text() and not isinstance(a.menu(), QMenu)
    ]
    lost = [a.text() for a in shown if id(a) not in found and a.parent() in {window, screen}]
    assert lost == []


def test_an_error_nobody_expected_is_told_in_the_window_without_stopping_it(
    make_window: Callable[..., Window], qtbot: QtBot
) -> None:
    window = make_window()
    notes_of(window).add.trigger()
    settle(qtbot, window)
    assert window.notices.keys == ("fault Adding a note",)
    assert QApplication.activeModalWidget() is None
    window.menus.message.trigger()
    for button in window.notices.findChildren(QPushButton):
        if button.text() == "Copy details":
            button.click()
    assert "an empty note" in QGuiApplication.clipboard().text()
    window.notices.withdraw("fault Adding a note")
    assert window.notices.isHidden()


def test_a_logbook_that_cannot_be_opened_is_told_and_can_be_tried_again(
    make_window: Callable[..., Window], qtbot: QtBot, logbook: NotesLogbook
) -> None:
    refusals = [StoreTooNewError("/x/tub.logbook", "a newer version wrote it")]

    def open_it() -> NotesLogbook:
        if refusals:
            raise refusals.pop()
        return logbook

    window = make_window(opened=False, open_logbook=open_it)
    with qtbot.waitSignal(window.keeper.not_opened, timeout=5000):
        window.show()
    page = window.screens.currentWidget()
    assert isinstance(page, ClosedPage)
    texts = [label.text() for label in page.findChildren(QLabel)]
    assert any("a newer version wrote it" in text for text in texts)
    assert any("/x/tub.logbook" in text for text in texts)
    assert audit(window, skip=("tab_faults",)) == []
    with qtbot.waitSignal(window.opened, timeout=5000):
        page.again_button.click()


def test_closing_ends_the_work_and_lets_go_of_the_logbook(
    make_window: Callable[..., Window], logbook: NotesLogbook
) -> None:
    window = make_window()
    assert window.close()
    assert logbook.closed


def test_where_the_program_goes_on_closing_hides_and_quitting_ends(
    make_window: Callable[..., Window], qtbot: QtBot, logbook: NotesLogbook
) -> None:
    window = make_window()
    window.goes_on_when_closed = True
    with qtbot.waitSignal(window.hidden_to_tray):
        window.close()
    assert window.isHidden()
    assert not logbook.closed
    window.quit()
    assert logbook.closed


def test_the_window_comes_back_with_its_size_and_section(
    make_window: Callable[..., Window],
) -> None:
    window = make_window()
    window.resize(720, 560)
    window.go("ledger")
    window.close()
    again = make_window()
    assert again.size() == QSize(720, 560)
    assert again.screens.key == "ledger"


def test_a_window_off_the_screen_is_pulled_back(make_window: Callable[..., Window]) -> None:
    window = make_window()
    window.move(9000, 9000)
    window.close()
    again = make_window()
    screen = QGuiApplication.primaryScreen().availableGeometry()
    assert screen.intersects(again.geometry())


def test_text_size_keys_change_all_text_and_are_remembered(
    make_window: Callable[..., Window], keeping: Keeping
) -> None:
    window = make_window()
    before = window.sidebar.font().pointSizeF()
    QTest.keyClick(window, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    assert window.sidebar.font().pointSizeF() > before
    assert keeping.number("look/text_percent", 0) == 110
    QTest.keyClick(window, Qt.Key.Key_0, Qt.KeyboardModifier.ControlModifier)
    assert window.sidebar.font().pointSizeF() == pytest.approx(before)


def test_the_window_fits_a_small_screen_at_the_largest_common_text_size(
    make_window: Callable[..., Window], theme: Theme
) -> None:
    for _ in range(3):
        theme.larger_text()
    window = make_window()
    hint = window.minimumSizeHint()
    assert hint.width() <= 1024
    assert hint.height() <= 600


def test_html_in_a_message_is_shown_as_it_was_written(
    make_window: Callable[..., Window],
) -> None:
    window = make_window()
    window.strip.say("<b>bold</b>")
    label = window.strip.findChild(QLabel)
    assert label is not None
    assert label.textFormat() is Qt.TextFormat.PlainText
    QTest.keyClick(window.strip, Qt.Key.Key_Escape)
    assert window.strip.isHidden()


def test_nothing_is_wrong_with_the_window_on_a_screen_of_twice_the_density() -> None:
    # The scale is fixed when Qt starts, hence a process of its own.
    chosen = "test_nothing_is_wrong_with_the_window and dark and 3"
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", __file__, "-k", chosen],
        env=os.environ | {"QT_SCALE_FACTOR": "2"},
        cwd=Path(__file__).parent.parent.parent,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-2000:]
    assert "2 passed" in done.stdout
