"""A test of the water is entered by keyboard alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from tests.desktop.audit import clipped
from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_tub
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.water_screen import WaterScreen
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.measures import add_readings
from tubcare.services.tubs import tubs
from tubcare.services.water_entry import entry_sheet
from tubcare.services.water_kit import change_kit
from tubcare.store.open import open_store
from tubcare.water.kit import USUAL_STEPS, Kit, usual_kit
from tubcare.water.units import Dimension, Unit
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

BEFORE = noon(2026, 5, 4)
KIT = Kit(
    fields=("ph", "free_chlorine_mg_l", "hardness_mg_l", "clarity"),
    units={Dimension.HARDNESS: Unit.GERMAN_DEGREE},
    strips={"free_chlorine_mg_l": (0.0, 0.5, 1.0, 3.0)},
)
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


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    store = open_store(path, BEFORE)
    desk = Desk(store, StillClock(BEFORE), "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    tub = add_tub(desk, zone="UTC")
    change_kit(desk, tub, KIT)
    add_readings(desk, tub, {"ph": 7.4, "hardness_mg_l": 89.24})
    store.close()
    return path


@pytest.fixture
def screen(qtbot: QtBot, window: Window) -> WaterScreen:
    window.go("water")
    found = window.screens.current
    assert isinstance(found, WaterScreen)
    settle(qtbot, window)
    return found


def kept(path: Path) -> dict[str, float]:
    desk = desk_on(path)
    found = {name: seen.value for name, seen in entry_sheet(desk).last.items()}
    desk.store.close()
    return found


def test_only_the_fields_of_the_kit_are_asked_for_with_their_units_and_last_values(
    screen: WaterScreen,
) -> None:
    screen.show_subject("entry")
    assert set(screen.entry().typed) == {"ph", "hardness_mg_l"}
    assert set(screen.entry().taps) == {"free_chlorine_mg_l", "clarity"}
    assert screen.entry().typed["hardness_mg_l"].accessibleName() == "Calcium hardness, °dH"
    numbers = screen.entry().forms[0]
    labels = [label.text() for label in numbers.findChildren(type(screen.title))]
    assert "last 5\N{NO-BREAK SPACE}°dH, 2 days ago" in labels


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


@pytest.mark.parametrize("width", [1280, 860])
@pytest.mark.parametrize("language", ["en", "de"])
def test_every_colour_of_a_strip_can_be_read_beside_all_that_is_noted(
    qtbot: QtBot, make_window: Callable[..., Window], path: Path, language: str, width: int
) -> None:
    desk = desk_on(path)
    usual = usual_kit(replace(tubs(desk)[0].profile, pump_w=40.0))
    pads = {name: USUAL_STEPS[name] for name in ("ph", "free_chlorine_mg_l", "alkalinity_mg_l")}
    change_kit(desk, None, replace(usual, strips=pads))
    desk.store.close()
    window = make_window(
        sections=SECTIONS,
        open_logbook=lambda: OpenLogbook(desk_on(path)),
        speech=speech_for({}, chosen=language, currency_code="EUR"),
    )
    window.resize(width, 800)
    window.go("water")
    settle(qtbot, window)
    screen = window.screens.current
    assert isinstance(screen, WaterScreen)
    screen.show_subject("entry")
    settle(qtbot, window)
    assert len(screen.entry().taps["ph"].buttons) == 6
    assert clipped(screen) == []
    for taps in screen.entry().taps.values():
        assert taps.height() >= taps.minimumSizeHint().height()
    inside, seen = screen.entry().page.widget(), screen.entry().page.viewport()
    assert inside is not None
    assert inside.width() <= seen.width()


def test_what_was_seen_otherwise_stays_when_the_rest_is_fine(screen: WaterScreen) -> None:
    screen.show_subject("entry")
    clarity = screen.entry().taps["clarity"]
    clarity.choose(1)
    screen.entry().looks.glance.click()
    assert clarity.chosen == 1


def test_a_test_of_yesterday_is_entered_today_with_its_time_and_a_note(
    qtbot: QtBot, window: Window, screen: WaterScreen, path: Path
) -> None:
    screen.show_subject("entry")
    page = screen.entry()
    page.typed["ph"].setText("7.3")
    page.looks.note.setText("after the rain")
    page.when.day.setText("5.5.2026")
    page.when.time.setText("18:30")
    QTest.keyClick(page.when.time, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Written down" in window.strip.text)
    desk = desk_on(path)
    seen = entry_sheet(desk).last["ph"]
    desk.store.close()
    assert (seen.value, seen.at) == (7.3, datetime(2026, 5, 5, 18, 30, tzinfo=UTC))
    assert (page.when.day.text(), page.looks.note.text()) == ("", "")


def test_a_day_to_come_is_refused_beside_its_field(screen: WaterScreen, path: Path) -> None:
    screen.show_subject("entry")
    page = screen.entry()
    page.typed["ph"].setText("7.3")
    page.when.day.setText("9.5.2026")
    page.keep.click()
    assert page.when.told.text()
    assert kept(path)["ph"] == 7.4


def test_an_unlikely_value_is_asked_about_once_and_kept_on_a_second_enter(
    qtbot: QtBot, window: Window, screen: WaterScreen, path: Path
) -> None:
    screen.show_subject("entry")
    entry = screen.entry().typed["ph"]
    entry.setText("9.4")
    QTest.keyClick(entry, Qt.Key.Key_Return)
    qtbot.waitUntil(screen.entry().doubts.isVisible)
    assert "9.4 is unusual" in screen.entry().doubts.text()
    assert kept(path)["ph"] == 7.4
    QTest.keyClick(entry, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Written down" in window.strip.text)
    assert kept(path)["ph"] == 9.4


def test_what_cannot_be_is_said_beside_its_field_and_nothing_typed_is_lost(
    qtbot: QtBot, screen: WaterScreen, path: Path
) -> None:
    screen.show_subject("entry")
    entry = screen.entry().typed["ph"]
    entry.setText("74")
    QTest.keyClick(entry, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(screen.entry().forms[0].error_of("ph")))
    assert entry.text() == "74"
    assert kept(path)["ph"] == 7.4


def test_the_kit_is_changed_in_the_window(
    qtbot: QtBot, window: Window, screen: WaterScreen, path: Path
) -> None:
    screen.show_subject("kit")
    screen.kit().fields["foam"].setChecked(True)
    screen.kit().pads["ph"].setText("6.8; 7.2; 7.8")
    screen.kit().keep()
    qtbot.waitUntil(lambda: "kit is kept" in window.strip.text)
    desk = desk_on(path)
    kit = entry_sheet(desk).kit
    desk.store.close()
    assert "foam" in kit.fields
    assert kit.strips["ph"] == (6.8, 7.2, 7.8)
    screen.show_subject("entry")
    qtbot.waitUntil(lambda: "foam" in screen.entry().taps)
