"""What was added beside the plan: written down, listed with the records, taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.desks import desk_on
from tubcare.desktop.tub_screen import TubScreen
from tubcare.services.history import undo
from tubcare.services.records import RecordKind
from tubcare.services.tubs import tubs
from tubcare.services.water_dose import add_dose
from tubcare.services.water_plan import water_plan

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.water_screen import WaterScreen


def test_something_else_that_was_added_is_written_down_beside_its_cautions(
    qtbot: QtBot, window: Window, screen: WaterScreen
) -> None:
    screen.show_subject("plan")
    form = screen.plan().other
    form.product.setCurrentIndex(form.product.findText("Bleach [ml]"))
    assert "Never mix with another kind of chlorine" in form.cautions.text()
    form.amount.setText("20")
    form.day.setText("2026-05-07")
    QTest.keyClick(form.amount, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(form.form.error_of("date")))
    form.day.setText("2026-05-06")
    QTest.keyClick(form.amount, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Recorded: 20" in window.strip.text)
    assert form.day.text() == ""
    qtbot.waitUntil(lambda: "Added since the test" in screen.plan().remarks.text())


def test_a_dose_is_deleted_where_the_records_are_and_comes_back_by_undo(
    qtbot: QtBot, window: Window, screen: WaterScreen, path: Path
) -> None:
    desk = desk_on(path)
    tub = tubs(desk)[0].id
    add_dose(desk, tub, "Bleach", 20.0)
    desk.store.close()
    screen.show_subject("plan")
    screen.plan().records_action.trigger()
    tub_screen = window.screens.current
    assert isinstance(tub_screen, TubScreen)
    page = tub_screen.quick()
    qtbot.waitUntil(lambda: page.model.rowCount() > 0)
    qtbot.waitUntil(lambda: page.table.choose((RecordKind.DOSE, 1)))
    assert page.table.current_row is not None
    page.delete_action.trigger()
    qtbot.waitUntil(lambda: "Deleted: Added: Bleach, 20" in window.strip.text)
    desk = desk_on(path)
    assert water_plan(desk).other_doses == ()
    undo(desk)
    assert water_plan(desk).other_doses == ("Bleach",)
    desk.store.close()
