"""Frost dates: from a file of minima or typed, their choices and their chart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.desktop.conftest import settle
from tests.desktop.power.conftest import TUB, turn
from tests.support.winters import minima_csv
from tubcare.desktop.power_frost_chart import frost_chart
from tubcare.services.frost import FrostSource, frost
from tubcare.services.frost_import import import_minima

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.power_screen import PowerScreen
    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk
    from tubcare.words.locale import Speech


def test_a_file_of_minima_is_looked_at_then_taken_over(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path, desk: Desk
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "frost")
    source = tmp_path / "station.csv"
    source.write_text(minima_csv(unit=""), encoding="utf-8")
    power.frost().files.open(source)
    settle(qtbot, window)
    assert "°C or in °F" in power.frost().files.told.text()
    assert not power.frost().files.take_action.isEnabled()
    answers = power.frost().files.answers
    answers.unit.setCurrentIndex(1)
    answers.unit.activated.emit(1)
    settle(qtbot, window)
    assert "20 winters have enough days" in power.frost().files.told.text()
    assert frost(desk, TUB).source is FrostSource.NONE
    power.frost().files.take()
    settle(qtbot, window)
    assert "Watch from: 2 Oct 2026" in power.frost().dates.text()
    assert "Dry by: 25 Oct 2026" in power.frost().dates.text()
    assert frost(desk, TUB).source is FrostSource.MEASURED


def test_choices_move_the_dates(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "frost")
    source = tmp_path / "station.csv"
    source.write_text(minima_csv(), encoding="utf-8")
    power.frost().files.open(source)
    settle(qtbot, window)
    power.frost().files.take()
    settle(qtbot, window)
    power.frost().choices.lead.fill(15)
    power.frost().choices.keep()
    settle(qtbot, window)
    assert "Dry by: 15 Oct 2026" in power.frost().dates.text()


def test_the_chart_of_frost_marks_both_dates(desk: Desk, speech: Speech) -> None:
    import_minima(desk, TUB, minima_csv(), source="station.csv")
    chart = frost_chart(speech, frost(desk, TUB))
    dates = chart.series[-1]
    marked = [(day, sign) for day, sign in zip(chart.labels, dates.signs, strict=True) if sign]
    assert marked == [("2 Oct", "A"), ("25 Oct", "B")]
    assert chart.key == ("A = Watch from", "B = Dry by")


def test_a_choice_out_of_range_is_told_beside_its_field(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:
    power = turn(qtbot, screen, "frost")
    power.frost().choices.watch_risk.fill(0)
    power.frost().choices.keep()
    assert power.frost().choices.form.error_of("watch_risk_percent")


def test_known_dates_are_typed_in_and_watched(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, desk: Desk
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "frost")
    power.frost().typed.keep()
    settle(qtbot, window)
    assert frost(desk, TUB).source is FrostSource.TYPED
    assert "must not go unnoticed" in power.frost().dates.text()
