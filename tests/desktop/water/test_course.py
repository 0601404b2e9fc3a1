"""The course of a quantity: its chart, its table and what was added."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pyqtgraph import TextItem
from PySide6.QtWidgets import QLabel

from tests.desktop.desks import desk_on
from tubcare.desktop.plotting import Plot
from tubcare.services.meters import add_fill
from tubcare.services.water_dose import add_dose

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.water_course_page import WaterCoursePage
    from tubcare.desktop.water_screen import WaterScreen


def told(page: WaterCoursePage) -> list[str]:
    return [label.text().replace("\N{NO-BREAK SPACE}", " ") for label in page.findChildren(QLabel)]


def test_the_course_is_a_chart_with_a_table_of_what_was_measured_and_expected(
    qtbot: QtBot, window: Window, screen: WaterScreen
) -> None:
    screen.show_subject("course")
    page = screen.course()
    assert [page.quantities.itemText(at) for at in range(2)] == ["pH", "Alkalinity"]
    qtbot.waitUntil(lambda: "Test again by" in " ".join(told(page)))
    page.quantities.setCurrentIndex(page.quantities.findData("free_chlorine"))
    page.quantities.activated.emit(page.quantities.currentIndex())
    qtbot.waitUntil(lambda: "is not known yet" in " ".join(told(page)))
    qtbot.waitUntil(lambda: not window.work.busy)


def test_what_was_added_is_named_at_the_foot_of_the_course(
    qtbot: QtBot, screen: WaterScreen, path: Path
) -> None:
    desk = desk_on(path)
    add_dose(desk, None, "Bleach", 20.0)
    add_fill(desk, None, 120.0)
    desk.store.close()
    screen.refresh()
    screen.show_subject("course")
    page = screen.course()
    bleach, water = "A = Bleach", "B = water changed"
    qtbot.waitUntil(lambda: any(bleach in text and water in text for text in told(page)))
    qtbot.waitUntil(lambda: bool(page.findChildren(Plot)))
    (plot,) = page.findChildren(Plot)
    signs = [item.toPlainText() for item in plot.plotItem.items if isinstance(item, TextItem)]
    assert signs == ["A\nB"]
