"""Readings taken over from a file and written to one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.desks import desk_on
from tubcare.services.water_entry import Entry, add_test
from tubcare.services.water_kit import change_kit
from tubcare.water.kit import Kit

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.water_screen import WaterScreen


def test_a_file_is_mapped_looked_at_and_taken_over_in_the_window(
    qtbot: QtBot, window: Window, screen: WaterScreen, tmp_path: Path
) -> None:
    file = tmp_path / "in.csv"
    file.write_text("day,acidity\n2026-05-01,7.4\n2026-05-03,7.5\n", encoding="utf-8")
    screen.show_subject("files")
    page = screen.files()
    page.open(file)
    qtbot.waitUntil(lambda: len(page.columns) == 2)
    assert not page.take.isEnabled()
    _name, holds, _unit = page.columns[1]
    holds.setCurrentIndex(holds.findData("ph"))
    holds.activated.emit(holds.currentIndex())
    qtbot.waitUntil(page.take.isEnabled)
    assert "2 new values" in page.told.text()
    QTest.mouseClick(page.take, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "2 values taken over" in window.strip.text)
    out = tmp_path / "out.csv"
    page.export_to(out)
    qtbot.waitUntil(lambda: "Written" in window.strip.text)
    assert len(out.read_text(encoding="utf-8-sig").splitlines()) == 4


def test_a_band_written_to_a_file_is_offered_back_end_by_end(
    qtbot: QtBot, screen: WaterScreen, path: Path, tmp_path: Path
) -> None:
    desk = desk_on(path)
    change_kit(desk, None, Kit(fields=("ph",), strips={"ph": (6.8, 7.2, 7.8)}))
    add_test(desk, None, Entry(colours={"ph": 1}))
    desk.store.close()
    out = tmp_path / "out.csv"
    screen.show_subject("files")
    page = screen.files()
    page.export_to(out)
    qtbot.waitUntil(out.exists)
    page.open(out)
    qtbot.waitUntil(lambda: len(page.columns) > 2)
    held = {column: holds.currentText() for column, holds, _unit in page.columns}
    assert held["ph low"] == "pH: low end of a strip"
    assert held["ph high"] == "pH: high end of a strip"
