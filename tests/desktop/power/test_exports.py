"""The figures of the section, written to files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QLabel

from tests.desktop.conftest import exported, settle
from tests.desktop.power.conftest import TUB, turn
from tests.support.chilled import MEANS
from tests.support.winters import minima_csv
from tubcare.services.frost_import import import_minima
from tubcare.services.household import POWER_PRICE, change_setting
from tubcare.services.power_weather import type_monthly_means

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.power_screen import PowerScreen
    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk


def test_all_figures_are_exported(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path, desk: Desk
) -> None:
    window, _power = screen
    change_setting(desk, POWER_PRICE, "0.30")
    type_monthly_means(desk, TUB, MEANS)
    screen[1].refresh()
    settle(qtbot, window)
    power = turn(qtbot, screen, "season")
    lines = exported(qtbot, window, power.now().export, tmp_path / "power.csv")
    assert [line.split(",")[0] for line in lines[1:5]] == ["season", "month", "month", "month"]
    assert "filled EUR value" in lines[0]


def test_weather_build_tariff_and_frost_are_exported(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path, desk: Desk
) -> None:
    window, power = screen
    type_monthly_means(desk, TUB, MEANS)
    import_minima(desk, TUB, minima_csv(), source="station.csv")
    written = {}
    for key, page in (
        ("weather", power.weather()),
        ("build", power.build()),
        ("tariff", power.tariff()),
        ("frost", power.frost()),
    ):
        turn(qtbot, screen, key)
        written[key] = exported(qtbot, window, page.export, tmp_path / f"{key}.csv")
    assert written["weather"][7] == "monthly mean,7,18,,,,4"
    assert any(line.startswith("pump_w,40,") for line in written["build"])
    assert written["tariff"][1] == "kind,,,,flat"
    tables = {line.split(",")[0] for line in written["frost"][1:]}
    assert tables == {"choice", "plan", "risk", "winter", "share", "power cut", "minimum"}


def test_a_file_that_cannot_be_written_is_told(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path
) -> None:
    power = turn(qtbot, screen, "build")
    power.build().export.write_to(tmp_path / "gone" / "build.csv")
    settle(qtbot, screen[0])
    texts = [label.text() for label in screen[0].notices.findChildren(QLabel)]
    assert any("choose another place" in text for text in texts)
