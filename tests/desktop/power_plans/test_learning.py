"""What the meter and a drift test teach about a tub."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from tests.desktop.conftest import exported, settle
from tests.desktop.power_plans.conftest import TUB, Shown
from tests.support.clocks import noon
from tests.support.weather_files import hourly_csv
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_meter_reading
from tubcare.services.power_learning import learning
from tubcare.services.power_weather import import_weather

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.services.desk import Desk


def test_refusing_to_learn_says_what_would_help(open_page: Callable[[str], Shown]) -> None:
    _window, power = open_page("learn")
    assert "cannot tell" in power.learn().told.text()
    assert "would help" in power.learn().told.text()
    assert not power.learn().use_action.isEnabled()


def test_a_drift_test_is_typed_kept_and_deleted(
    open_page: Callable[[str], Shown], qtbot: QtBot, desk: Desk
) -> None:
    window, power = open_page("learn")
    power.learn().drift.readings.setText("0 5.0; 4 5.7; 8 6.4; 12 7.0")
    power.learn().drift.air.setText("20")
    power.learn().drift.keep()
    settle(qtbot, window)
    assert "Drift test: leak" in power.learn().drift_told.text()
    assert "takes the leak from the drift test" in power.learn().told.text()
    assert "description stands" not in power.learn().told.text()
    power.learn().drift.delete()
    settle(qtbot, window)
    assert learning(desk, TUB).drift_test is None
    assert "description stands" in power.learn().told.text()


def test_a_drift_test_that_tells_nothing_is_told_beside_its_field(
    open_page: Callable[[str], Shown], qtbot: QtBot
) -> None:
    window, power = open_page("learn")
    power.learn().drift.readings.setText("0 5.0; 1 5.1")
    power.learn().drift.keep()
    settle(qtbot, window)
    told = power.learn().drift.told.text() + power.learn().drift.form.error_of("readings")
    assert "four readings" in told


def test_what_was_learned_is_shown_with_its_check_and_used(
    open_page: Callable[[str], Shown], qtbot: QtBot, desk: Desk, tmp_path: Path
) -> None:
    first = date(2026, 4, 1)
    text = hourly_csv(noon(2026, 4, 1).replace(hour=0, tzinfo=None), 65 * 24, slope_k=0.2)
    import_weather(desk, TUB, text, source="spring.csv")
    total = 1000.0
    for number in range(60):
        total += 1.5 + 0.015 * number + 0.03 * (number % 3)
        value = MeterValue(counter="kwh", value_milli=round(total * 1000))
        add_meter_reading(desk, TUB, value, on=first + timedelta(days=number))
    window, power = open_page("learn")
    assert "Leak over efficiency" in power.learn().told.text()
    assert "had not seen" in power.learn().checked.text()
    assert power.learn().model.rows
    lines = exported(qtbot, window, power.learn().export, tmp_path / "learned.csv")
    assert sum(line.startswith("held-out week") for line in lines) == len(power.learn().model.rows)
    power.learn().use()
    settle(qtbot, window)
    assert learning(desk, TUB).kept
    assert "goes by this tub's meter" in power.learn().told.text()
