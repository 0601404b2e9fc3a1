"""The season of a tub: what its meter and the model say."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.desktop.conftest import settle
from tests.desktop.power.conftest import turn
from tests.support.chilled import MEANS

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.power_screen import PowerScreen
    from tubcare.desktop.shell import Window


def test_without_weather_the_meter_and_what_is_missing_are_told(
    screen: tuple[Window, PowerScreen],
) -> None:
    _window, power = screen
    assert "twelve monthly means" in power.now().told.text()
    told = str(power.now().model.data(power.now().model.index(0, 1)))
    assert "30 kWh on 21 of 31 days" in told.replace("\N{NO-BREAK SPACE}", " ")


def test_typed_means_give_a_season_with_its_range_and_undo_takes_them_back(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "weather")
    for entry, mean in zip(power.weather().months, MEANS.air_c, strict=True):
        entry.fill(mean)
    power.weather().keep()
    settle(qtbot, window)
    assert "monthly means" in power.weather().told.text()
    power = turn(qtbot, screen, "season")
    assert power.now().model.rows[0].modelled is not None
    window.menus.undo.trigger()
    settle(qtbot, window)
    assert power.now().model.rows[0].modelled is None
