"""The form for a test of the water: its fields, its date, and what it refuses or asks about."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.audit import clipped
from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on, window_on
from tests.desktop.water.entry.conftest import kept
from tubcare.desktop.water_screen import WaterScreen
from tubcare.services.tubs import tubs
from tubcare.services.water_entry import entry_sheet
from tubcare.services.water_kit import change_kit
from tubcare.water.kit import USUAL_STEPS, usual_kit
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window


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
    speech = speech_for({}, chosen=language, currency_code="EUR")
    window = window_on(make_window, path, speech=speech)
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
