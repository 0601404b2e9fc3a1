"""A calendar on a real logbook with two tubs, and how tests go about in it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.desks import NOW, new_desk, window_on
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.desktop.calendar_screen import CalendarScreen
from tubcare.services.upkeep_tick import tick_off

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtGui import QAction
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

TODAY = NOW.date()
Key = Qt.Key
Ctrl = Qt.KeyboardModifier.ControlModifier
WEEKLY = [{"kind": "elapsed", "every": 7, "period": "day"}]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Two tubs: one task late since 1 May, one done on the 4th, one open on the 9th, a round."""
    path = tmp_path / "a.db"
    desk = new_desk(path)
    north = add_tub(desk, zone="UTC")
    south = add_tub(desk, name="South", zone="UTC")
    add_task(desk, north, no_grace=True)
    add_task(desk, south, title="Test the water", triggers=WEEKLY, starts_on=date(2026, 5, 2))
    for title in ("Skim", "Wipe the rim", "Look at the lid"):
        add_task(
            desk,
            north,
            title=title,
            triggers=WEEKLY,
            starts_on=date(2026, 5, 5),
            round_name="Sunday round",
        )
    rinsed = add_task(desk, north, title="Rinse the filter", starts_on=date(2026, 4, 1))
    desk.clock = StillClock(noon(2026, 5, 4))
    tick_off(desk, rinsed, f"start:{rinsed}")
    desk.store.close()
    return path


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return window_on(make_window, path)


@pytest.fixture
def screen(qtbot: QtBot, window: Window) -> CalendarScreen:
    window.go("calendar")
    found = window.screens.current
    assert isinstance(found, CalendarScreen)
    qtbot.waitUntil(lambda: found.views.model.rowCount() > 0)
    # So that keys reach the window as they do for a person.
    window.activateWindow()
    assert QTest.qWaitForWindowActive(window, 1000)
    return found


def go(qtbot: QtBot, screen: CalendarScreen, on: date) -> None:
    screen.go_to(on)
    qtbot.waitUntil(lambda: screen.views.model.index_of(on).isValid())
    qtbot.waitUntil(lambda: screen.views.panel.heading.text().startswith(f"{on:%a}"))


def action_of(screen: CalendarScreen, text: str) -> QAction:
    return next(a for a in screen.menu_actions if a.text() == text)


def spoken(screen: CalendarScreen, on: date) -> str:
    index = screen.views.model.index_of(on)
    return str(index.data(Qt.ItemDataRole.AccessibleTextRole))


def names(screen: CalendarScreen) -> list[str]:
    return [line.name for line in screen.views.panel.table.rows_model.rows]
