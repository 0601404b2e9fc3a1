"""The section Water on a real logbook, driven by keys and the mouse."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.support.clocks import StillClock, noon
from tests.support.plans import add_tub
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.water_screen import WaterScreen
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.measures import add_readings
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

NOW = noon(2026, 5, 6)
BAD = {"ph": 8.1, "free_chlorine_mg_l": 0.3, "alkalinity_mg_l": 60.0, "water_c": 6.0, "clarity": 1}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    store = open_store(path, NOW)
    desk = Desk(store, StillClock(NOW), "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    add_readings(desk, add_tub(desk, zone="UTC"), BAD)
    store.close()
    return path


@pytest.fixture
def screen(qtbot: QtBot, make_window: Callable[..., Window], path: Path) -> WaterScreen:
    def opened() -> OpenLogbook:
        return OpenLogbook(Desk(open_store(path, NOW), StillClock(NOW), "Ann"))

    window = make_window(sections=SECTIONS, open_logbook=opened)
    window.go("water")
    found = window.screens.current
    assert isinstance(found, WaterScreen)
    qtbot.waitUntil(lambda: found.now.model.rowCount() > 0)
    return found


def cells(screen: WaterScreen, row: int) -> list[str]:
    model = screen.now.model
    return [str(model.data(model.index(row, at))) for at in range(model.columnCount())]


def test_readings_outside_come_first_with_word_and_distance(screen: WaterScreen) -> None:
    first, second = cells(screen, 0), cells(screen, 1)
    assert first[:3] == ["pH", "8.1", "Above by 0.3"]
    assert second[:3] == [
        "Free chlorine",
        "0.3\N{NO-BREAK SPACE}mg/L",
        "Below by 0.7\N{NO-BREAK SPACE}mg/L",
    ]
    assert "MAHC" in first[4]


def test_the_facts_tell_readings_age_and_wait_and_never_a_verdict(screen: WaterScreen) -> None:
    told = screen.now.facts.text()
    assert "2 readings lie outside the tub's ranges." in told
    assert "No waiting time after a dose is running." in told
    assert "hazy" in told
    assert "safe" not in told.casefold()


def test_the_index_is_told_with_what_it_means_for_the_liner(screen: WaterScreen) -> None:
    assert "Saturation index" in screen.now.scale.text()
    assert "6\N{NO-BREAK SPACE}°C" in screen.now.scale.text()
    assert "calcium hardness 80" in screen.now.assumed.text()
