"""The key Enter keeps what is typed in a form."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.conftest import said
from tests.desktop.power.conftest import TUB, turn
from tubcare.services.frost import FrostSource, frost

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.power_screen import PowerScreen
    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk


def test_enter_keeps_the_frost_dates_and_the_drift_test_that_are_typed(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, desk: Desk
) -> None:
    window, _power = screen
    typed = turn(qtbot, screen, "frost").frost().typed
    QTest.keyClick(typed.dry, Qt.Key.Key_Return)
    assert said(qtbot, window) == "Dates kept."
    assert frost(desk, TUB).source is FrostSource.TYPED
    drift = turn(qtbot, screen, "learn").learn().drift
    drift.readings.setText("0 5.0; 4 6.1; 8 7.1; 12 8.0")
    QTest.keyClick(drift.readings, Qt.Key.Key_Return)
    assert said(qtbot, window) == "Drift test kept."
