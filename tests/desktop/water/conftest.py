"""A section Water with readings out of range and two products, and how tests read it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.desktop.desks import new_desk, window_on
from tests.support.plans import add_tub
from tubcare.desktop.water_screen import WaterScreen
from tubcare.services.measures import add_readings
from tubcare.services.water_shelf import put_product
from tubcare.water.compounds import Compound
from tubcare.water.products import usual_product

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

BAD = {"ph": 8.1, "free_chlorine_mg_l": 0.3, "alkalinity_mg_l": 60.0, "water_c": 6.0, "clarity": 1}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    desk = new_desk(path)
    add_readings(desk, add_tub(desk, zone="UTC"), BAD)
    put_product(desk, replace(usual_product(Compound.SODIUM_BISULFATE), name="pH minus"))
    put_product(desk, replace(usual_product(Compound.SODIUM_HYPOCHLORITE), name="Bleach"))
    desk.store.close()
    return path


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return window_on(make_window, path)


@pytest.fixture
def screen(qtbot: QtBot, window: Window) -> WaterScreen:
    window.go("water")
    found = window.screens.current
    assert isinstance(found, WaterScreen)
    qtbot.waitUntil(lambda: found.now().model.rowCount() > 0)
    return found


def cells(screen: WaterScreen, row: int) -> list[str]:
    model = screen.now().model
    return [str(model.data(model.index(row, at))) for at in range(model.columnCount())]
