"""The kit that a tub is tested with, changed in the window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.desktop.desks import desk_on
from tubcare.services.water_entry import entry_sheet

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.water_screen import WaterScreen


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
