"""The hours of the chiller, planned by price."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.desktop.conftest import exported, settle
from tests.desktop.power_plans.conftest import BY_TIME, TUB, Shown
from tubcare.services.power_tariff import change_tariff

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.services.desk import Desk


def test_hours_are_planned_within_the_band_and_exported(
    open_priced: Callable[[str], Shown], qtbot: QtBot, tmp_path: Path
) -> None:
    window, power = open_priced("hours")
    power.hours().plan()
    settle(qtbot, window)
    assert "less than a thermostat" in power.hours().told.text()
    lines = exported(qtbot, window, power.hours().export, tmp_path / "hours.csv")
    assert sum(line.startswith("hour,") for line in lines) == 24
    assert any(line.startswith("saving,,,,") for line in lines)


def test_a_plan_without_weather_says_what_is_missing(
    open_page: Callable[[str], Shown], qtbot: QtBot, desk: Desk
) -> None:
    change_tariff(desk, TUB, BY_TIME)
    window, power = open_page("hours")
    power.hours().plan()
    settle(qtbot, window)
    assert "twelve monthly means" in power.hours().box.told.text()
