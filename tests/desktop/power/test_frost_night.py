"""A night without power: the way to it and its hours."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.desktop.conftest import settle
from tests.desktop.power.conftest import TUB, turn
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.frost import type_frost_dates
from tubcare.values import MonthDay

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.power_screen import PowerScreen
    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk


def test_a_week_with_a_frost_note_leads_to_the_night_without_power(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, desk: Desk
) -> None:
    window, power = screen
    window.go("week")
    settle(qtbot, window)
    week = window.screens.current
    assert isinstance(week, WeekScreen)
    assert not week.frost_action.isEnabled()
    type_frost_dates(
        desk, TUB, watch_from=MonthDay(month=10, day=1), dry_by=MonthDay(month=10, day=25)
    )
    week.refresh()
    settle(qtbot, window)
    week.frost_action.trigger()
    settle(qtbot, window)
    assert window.screens.current is power
    assert "Hose: about" in power.frost().night.hours.text()


def test_the_night_is_worked_out_for_the_air_that_is_typed(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "frost")
    cold = power.frost().night.hours.text()
    power.frost().night.air.setText("-15")
    power.frost().night.wanted.emit(None)
    settle(qtbot, window)
    assert power.frost().night.hours.text() != cold
    assert "Hose: about 10" in power.frost().night.hours.text()
