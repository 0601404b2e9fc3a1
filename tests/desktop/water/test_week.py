"""The water in the section This week: doses, cautions, and the way to the plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.desks import desk_on
from tests.desktop.water.conftest import BAD
from tests.support.plans import add_task, add_tub
from tubcare.desktop.water_screen import WaterScreen
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.measures import add_readings
from tubcare.services.tubs import tubs

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window


def test_this_week_shows_the_dose_with_its_caution(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    desk = desk_on(path)
    tub = tubs(desk)[0].id
    add_task(desk, tub, triggers=[{"kind": "reading", "when": "ph outside range"}])
    desk.store.close()
    window.go("week")
    week = window.screens.current
    assert isinstance(week, WeekScreen)
    week.refresh()
    qtbot.waitUntil(lambda: week.model.first_task() is not None)
    group = week.model.item(0)
    told = group.child(0, 3).data(Qt.ItemDataRole.DisplayRole)
    tip = group.child(0, 3).data(Qt.ItemDataRole.ToolTipRole)
    assert told.startswith("to add: ")
    assert "Never let acid meet any chlorine product" in told
    assert "Wear gloves" in tip


def test_a_water_task_in_this_week_leads_to_the_plan_of_its_tub_and_back(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    desk = desk_on(path)
    south = add_tub(desk, name="South", zone="UTC")
    add_readings(desk, south, BAD)
    triggers = [{"kind": "reading", "when": "ph outside range"}]
    add_task(desk, south, title="Correct the pH", category="water", triggers=triggers)
    add_task(
        desk, south, title="Rinse the filter", triggers=[{"kind": "once", "on": "2026-05-06"}]
    )
    desk.store.close()
    window.go("week")
    week = window.screens.current
    assert isinstance(week, WeekScreen)
    week.refresh()
    qtbot.waitUntil(lambda: week.model.rowCount() > 0)
    groups = [week.model.item(at) for at in range(week.model.rowCount())]
    rows = [group.child(at) for group in groups for at in range(group.rowCount())]
    by_title = {str(row.data(Qt.ItemDataRole.DisplayRole)): row for row in rows}
    week.tree.setCurrentIndex(by_title["Rinse the filter \N{MIDDLE DOT} South"].index())
    assert not week.water_action.isEnabled()
    week.tree.setCurrentIndex(by_title["Correct the pH \N{MIDDLE DOT} South"].index())
    QTest.keyClick(
        window,
        Qt.Key.Key_W,
        Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    )
    screen = window.screens.current
    assert isinstance(screen, WaterScreen)
    qtbot.waitUntil(lambda: bool(screen.plan().cards))
    assert screen.front is screen.plan
    assert screen.choice.currentText() == "South"
    window.menus.back.trigger()
    assert window.screens.current is week
