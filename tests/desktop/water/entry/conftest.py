"""A tub with a small kit and one test of two days ago, and what is kept of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on, new_desk
from tests.support.clocks import noon
from tests.support.plans import add_tub
from tubcare.desktop.water_screen import WaterScreen
from tubcare.services.measures import add_readings
from tubcare.services.water_entry import entry_sheet
from tubcare.services.water_kit import change_kit
from tubcare.water.kit import Kit
from tubcare.water.units import Dimension, Unit

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

BEFORE = noon(2026, 5, 4)
KIT = Kit(
    fields=("ph", "free_chlorine_mg_l", "hardness_mg_l", "clarity"),
    units={Dimension.HARDNESS: Unit.GERMAN_DEGREE},
    strips={"free_chlorine_mg_l": (0.0, 0.5, 1.0, 3.0)},
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    desk = new_desk(path, now=BEFORE)
    tub = add_tub(desk, zone="UTC")
    change_kit(desk, tub, KIT)
    add_readings(desk, tub, {"ph": 7.4, "hardness_mg_l": 89.24})
    desk.store.close()
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
