"""The section Power on a real logbook: what is shown, typed, taken over and undone."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from tests.desktop.conftest import said, settle
from tests.support.chilled import MEANS, give_chiller
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_tub
from tests.support.weather_files import hourly_csv, prices_csv
from tests.support.winters import minima_csv
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.power_frost_chart import frost_chart
from tubcare.desktop.power_screen import PowerScreen
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.week_screen import WeekScreen
from tubcare.energy.chiller import Evaporator
from tubcare.energy.tariff_plan import TariffKind
from tubcare.services.desk import Desk
from tubcare.services.frost import FrostSource, frost, type_frost_dates
from tubcare.services.frost_import import import_minima
from tubcare.services.household import POWER_PRICE, change_setting, start_logbook
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_meter_reading
from tubcare.services.power_build import read_build
from tubcare.services.power_tariff import tariff_of
from tubcare.services.power_weather import type_monthly_means
from tubcare.services.weather_store import Purpose, figures_from_text, kept_weather
from tubcare.store.open import open_store
from tubcare.values import MonthDay, TubId

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.words.locale import Speech

NOW = noon(2026, 10, 10)
TUB = TubId(1)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    desk = Desk(open_store(path, NOW), StillClock(NOW), "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="Europe/Helsinki", person="Ann")
    tub = add_tub(desk, opened=date(2026, 8, 1))
    give_chiller(desk, tub)
    for day, kwh in ((10, 100), (31, 130)):
        value = MeterValue(counter="kwh", value_milli=kwh * 1000)
        add_meter_reading(desk, tub, value, on=date(2026, 8, day))
    desk.store.close()
    return path


@pytest.fixture
def desk(path: Path) -> Desk:
    return Desk(open_store(path, NOW), StillClock(NOW), "Ann")


@pytest.fixture
def screen(
    make_window: Callable[..., Window], path: Path, qtbot: QtBot
) -> tuple[Window, PowerScreen]:
    window = make_window(
        sections=SECTIONS,
        open_logbook=lambda: OpenLogbook(Desk(open_store(path, NOW), StillClock(NOW), "Ann")),
    )
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


def test_an_empty_month_is_refused_beside_its_field(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:
    power = turn(qtbot, screen, "weather")
    power.weather().keep()
    assert power.weather().box.form.error_of("month_1")


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


def test_the_build_is_kept_and_can_follow_the_profile_again(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, desk: Desk
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "build")
    assert not power.build().reset_action.isEnabled()
    power.build().form.wall_layers.setText("XPS 80, softwood 20")
    power.build().keep()
    settle(qtbot, window)
    with desk.read() as connection:
        kept = read_build(connection, TUB).described
    assert kept.wall_layers == (("xps", 80.0), ("softwood", 20.0))
    power.build().reset()
    settle(qtbot, window)
    assert power.build().form.wall_layers.text() == ""


def test_the_build_shows_the_cautions_of_the_kind_that_is_chosen(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:
    form = turn(qtbot, screen, "build").build().form
    said = " ".join(label.text() for label in form.findChildren(QLabel))
    assert "Ice on the coil means thaw" in said
    assert "lowest ambient on its label" in said
    form.evaporator.setCurrentIndex(form.evaporator.findData(Evaporator.FLOW_THROUGH.value))
    assert "without flow it has to be off at once" in " ".join(
        label.text() for label in form.findChildren(QLabel)
    )


def test_an_unknown_material_is_refused_beside_its_field(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:
    power = turn(qtbot, screen, "build")
    power.build().form.wall_layers.setText("straw 80")
    power.build().keep()
    assert "softwood" in power.build().form.error_of("wall_layers")


def test_a_tariff_by_time_of_day_comes_back_as_typed(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, desk: Desk
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "tariff")
    form = power.tariff().form
    form.kind.setCurrentIndex(1)
    form.price.setText("0.30")
    form.bands.setText("22:00-06:00 0.12; 17:00-20:00 Mon-Fri 0.40")
    power.tariff().keep()
    settle(qtbot, window)
    kept = tariff_of(desk, TUB)
    assert kept.kind is TariffKind.TIME_OF_USE
    assert [band.weekdays for band in kept.bands] == [frozenset(range(7)), frozenset(range(5))]
    assert form.bands.text() == "22:00-06:00 0.12; 17:00-20:00 Mon-Fri 0.4"


def test_hourly_prices_are_kept_only_with_the_tariff(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path, desk: Desk
) -> None:
    window, _power = screen
    power = turn(qtbot, screen, "tariff")
    source = tmp_path / "prices.csv"
    source.write_text(prices_csv(noon(2026, 8, 1).replace(hour=0, tzinfo=None), 48))
    power.tariff().open(source)
    settle(qtbot, window)
    assert "48 hours" in power.tariff().told.text()
    assert tariff_of(desk, TUB).hourly is None
    power.tariff().keep()
    settle(qtbot, window)
    kept = tariff_of(desk, TUB).hourly
    assert kept is not None
    assert len(kept.prices) == 48


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


def test_all_figures_are_exported(
    screen: tuple[Window, PowerScreen], qtbot: QtBot, tmp_path: Path, desk: Desk
) -> None:
    window, _power = screen
    change_setting(desk, POWER_PRICE, "0.30")
    type_monthly_means(desk, TUB, MEANS)
    screen[1].refresh()
    settle(qtbot, window)
    power = turn(qtbot, screen, "season")
    target = tmp_path / "power.csv"
    power.now().export.write_to(target)
    settle(qtbot, window)
    lines = target.read_text(encoding="utf-8-sig").splitlines()
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
        page.export.write_to(tmp_path / f"{key}.csv")
        settle(qtbot, window)
        written[key] = (tmp_path / f"{key}.csv").read_text(encoding="utf-8-sig").splitlines()
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


def test_every_caution_is_shown_with_its_source(
    screen: tuple[Window, PowerScreen], qtbot: QtBot
) -> None:

    power = turn(qtbot, screen, "cautions")
    texts = [label.text() for label in power.cautions().findChildren(QLabel)]
    told = [text for text in texts if text.startswith("Caution:")]
    assert len(told) == sum(text.startswith("Source:") for text in texts) > 15
    assert any("15 °C or below" in text for text in told)
