"""The ranges of a tub, edited and reset."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.conftest import settle
from tests.desktop.water.conftest import cells

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.water_screen import WaterScreen


def test_a_range_is_edited_with_a_warning_before_and_after_it_is_loosened(
    qtbot: QtBot, window: Window, screen: WaterScreen
) -> None:
    screen.show_subject("ranges")
    page = screen.ranges()
    assert page.table.choose("ph")
    assert page.ends["high"].text() == "7.8"
    page.ends["high"].setText("8.4")
    assert "8.4 lies beyond the document's 7.8" in page.warning.text()
    QTest.keyClick(page.ends["high"], Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "The range is kept. Loosened" in window.strip.text)
    screen.show_subject("now")
    qtbot.waitUntil(
        lambda: "inside" in cells(screen, screen.now().model.row_of("ph"))[2].casefold()
    )
    page.reset()
    qtbot.waitUntil(lambda: "holds again" in window.strip.text)


def test_ends_out_of_order_are_refused_beside_their_field(
    qtbot: QtBot, window: Window, screen: WaterScreen
) -> None:
    screen.show_subject("ranges")
    page = screen.ranges()
    page.table.choose("ph")
    page.ends["low"].setText("17")
    QTest.keyClick(page.ends["low"], Qt.Key.Key_Return)
    settle(qtbot, window)
    assert page.form.error_of("low")
