"""The weather a tub stands in: typed as means or taken over from a file."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.desktop.conftest import settle
from tests.desktop.power.conftest import TUB, turn
from tests.support.clocks import noon
from tests.support.weather_files import hourly_csv
from tubcare.services.weather_store import Purpose, figures_from_text, kept_weather

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.power_screen import PowerScreen
    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk


def test_an_empty_month_is_refused_beside_its_field(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:
    power = turn(qtbot, screen, "weather")
    power.weather().keep()
    assert power.weather().box.form.error_of("month_1")


def test_measured_weather_is_taken_over_and_named(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "weather")
    source = tmp_path / "garden.csv"
    source.write_text(hourly_csv(noon(2026, 8, 1).replace(hour=0, tzinfo=None), 24 * 40))
    power.weather().files.open(source)
    settle(qtbot, window)
    power.weather().files.take()
    settle(qtbot, window)
    assert "garden.csv" in power.weather().told.text()


def test_a_file_with_columns_of_its_own_names_is_read_by_naming_them(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path
) -> None:
    window, _power = screen
    files = turn(qtbot, screen, "weather").weather().files
    text = hourly_csv(noon(2026, 8, 1).replace(hour=0, tzinfo=None), 24 * 3)
    source = tmp_path / "own.csv"
    source.write_text(text.replace("time,air temp (C)", "when,by the hedge", 1))
    files.open(source)
    settle(qtbot, window)
    assert "Which column holds the date?" in files.told.text()
    for box, name in ((files.answers.stamp, "when"), (files.answers.column, "by the hedge")):
        box.setCurrentIndex(box.findData(name))
    files.answers.unit.setCurrentIndex(1)
    files.answers.unit.activated.emit(1)
    settle(qtbot, window)
    assert "From 1 Aug 2026 to 3 Aug 2026." in files.told.text()
    assert files.take_action.isEnabled()


def test_unclear_units_of_wind_and_sun_are_named_and_told(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path, desk: Desk
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "weather")
    source = tmp_path / "days.csv"
    days = [f"2026-08-{day:02},9,21,3,18" for day in range(1, 29) if day not in {11, 12}]
    source.write_text("date,tmin (C),tmax (C),wind (bft),ghi\n" + "\n".join(days))
    files = power.weather().files
    files.open(source)
    settle(qtbot, window)
    assert "Not used, as the unit is not clear: wind (bft) and ghi." in files.told.text()
    assert "2 rows are missing; the longest gap has 2, from 11 Aug 2026 on." in files.told.text()
    for box, name in ((files.answers.wind, "Leave the wind out"), (files.answers.sun, "MJ/m²")):
        box.setCurrentIndex(box.findText(name))
        box.activated.emit(box.currentIndex())
    settle(qtbot, window)
    assert "Left out as you said: wind (bft)." in files.told.text()
    files.take()
    settle(qtbot, window)
    with desk.read() as connection:
        kept = kept_weather(connection, TUB, Purpose.POWER)
    assert kept is not None
    first = figures_from_text(str(kept.content["sun_w_m2"]))[0]
    assert first == pytest.approx(18e6 / 86400, abs=0.01)


def test_a_file_that_holds_no_table_is_refused_with_its_name(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "weather")
    source = tmp_path / "empty.csv"
    source.write_text("")
    power.weather().files.open(source)
    settle(qtbot, window)
    assert "empty.csv" in power.weather().files.told.text()
    assert not power.weather().files.take_action.isEnabled()
