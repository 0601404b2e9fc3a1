"""A test of the water is entered by keyboard alone, and quickly."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from tests.desktop.desks import desk_on
from tests.desktop.water.entry.conftest import KIT, kept
from tubcare.services.tubs import tubs
from tubcare.services.water_kit import change_kit
from tubcare.water.kit import usual_kit

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.water_screen import WaterScreen

# Keystroke-level model (Card, Moran and Newell 1980): an average typist takes 0.28 s a key, and
# 1.35 s to make up the mind before each field.
KEY_S, MIND_S = 0.28, 1.35


class Keyboard:
    """Presses keys on whatever has the focus, and counts them."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self.pressed = 0

    def type(self, text: str) -> None:
        for letter in text:
            QTest.keyClicks(self._target(), letter)
            self.pressed += 1

    def press(self, key: Qt.Key) -> None:
        QTest.keyClick(self._target(), key)
        self.pressed += 1

    def _target(self) -> QWidget:
        return QApplication.focusWidget() or self._window.focusWidget()


def test_a_test_goes_in_by_keyboard_alone_within_twenty_seconds(
    qtbot: QtBot, window: Window, screen: WaterScreen, path: Path
) -> None:
    keys = Keyboard(window)
    window.activateWindow()
    assert QTest.qWaitForWindowActive(window, 1000)
    QTest.keyClick(screen, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    keys.pressed += 2
    keys.type("7.3")
    keys.press(Qt.Key.Key_Tab)
    keys.press(Qt.Key.Key_Space)
    keys.press(Qt.Key.Key_Right)
    keys.press(Qt.Key.Key_Right)
    keys.press(Qt.Key.Key_Tab)
    keys.type("4")
    keys.press(Qt.Key.Key_Tab)
    keys.press(Qt.Key.Key_Space)
    keys.press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Written down" in window.strip.text)
    found = kept(path)
    assert (found["ph"], found["clarity"]) == (7.3, 0.0)
    assert found["hardness_mg_l"] == pytest.approx(71.39, abs=0.05)
    # The third colour, 1.0, stands for 0.75 to 2.
    assert found["free_chlorine_mg_l"] == pytest.approx(1.375)
    assert keys.pressed * KEY_S + len(KIT.fields) * MIND_S < 20.0


def test_a_whole_usual_kit_goes_in_within_twenty_seconds(
    qtbot: QtBot, window: Window, screen: WaterScreen, path: Path
) -> None:
    """Six numbers, and one tap for six things of which there is nothing to see."""
    desk = desk_on(path)
    usual = usual_kit(replace(tubs(desk)[0].profile, pump_w=40.0))
    change_kit(desk, None, usual)
    desk.store.close()
    screen.show_subject("entry")
    screen.show_chosen()
    qtbot.waitUntil(lambda: "slime" in screen.entry().taps)
    screen.show_subject("now")
    keys = Keyboard(window)
    window.activateWindow()
    assert QTest.qWaitForWindowActive(window, 1000)
    QTest.keyClick(screen, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    keys.pressed += 2
    for text in ("7.3", "1.5", "60", "5", "", "12"):
        keys.type(text)
        keys.press(Qt.Key.Key_Tab)
    keys.press(Qt.Key.Key_Space)
    keys.press(Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Written down" in window.strip.text)
    found = kept(path)
    assert (found["ph"], found["flow_l_min"], found["slime"], found["ice"]) == (7.3, 12.0, 0, 0)
    assert keys.pressed * KEY_S + 7 * MIND_S < 20.0
