"""A section Power in autumn, its meter read twice, and how tests go about in it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on, new_desk, window_on
from tests.support.chilled import give_chiller
from tests.support.clocks import noon
from tests.support.plans import add_tub
from tubcare.desktop.power_screen import PowerScreen
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_meter_reading
from tubcare.values import TubId

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk

NOW = noon(2026, 10, 10)
TUB = TubId(1)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    desk = new_desk(path, now=NOW, zone="Europe/Helsinki")
    tub = add_tub(desk, opened=date(2026, 8, 1))
    give_chiller(desk, tub)
    for day, kwh in ((10, 100), (31, 130)):
        value = MeterValue(counter="kwh", value_milli=kwh * 1000)
        add_meter_reading(desk, tub, value, on=date(2026, 8, day))
    desk.store.close()
    return path


@pytest.fixture
def desk(path: Path) -> Desk:
    return desk_on(path, now=NOW)


@pytest.fixture
def screen(
    make_window: Callable[..., Window], path: Path, qtbot: QtBot
) -> tuple[Window, PowerScreen]:
    window = window_on(make_window, path, now=NOW)
    window.go("power")
    settle(qtbot, window)
    found = window.screens.current
    assert isinstance(found, PowerScreen)
    return window, found


def turn(qtbot: QtBot, shown: tuple[Window, PowerScreen], page: str) -> PowerScreen:
    window, power = shown
    power.show_subject(page)
    settle(qtbot, window)
    return power
