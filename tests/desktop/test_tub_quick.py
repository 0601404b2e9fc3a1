"""Quick entry of dips, readings, meters and fresh water, by keys and clicks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from tests.desktop.audit import audit, clipped
from tests.desktop.conftest import said, settle
from tests.desktop.tub_windows import desk_of, logbook_with, tub_screen
from tubcare.desktop.tub_screen import TubScreen
from tubcare.services.records import Record, RecordKind, recent_records
from tubcare.services.tubs import tubs
from tubcare.services.water_kit import change_kit
from tubcare.water.kit import Kit
from tubcare.water.units import Dimension, Unit

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.tub_meter_entries import MeterBox

Shown = tuple["Window", TubScreen]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return logbook_with(tmp_path / "a.db", "North", "South")


@pytest.fixture
def shown(qtbot: QtBot, make_window: Callable[..., Window], path: Path) -> Shown:
    return tub_screen(qtbot, make_window, path)


def read_meter(screen: TubScreen, value: str, on: str) -> MeterBox:
    """Write a meter reading down, as far as it is taken; return where it was typed."""
    box = screen.quick().meters
    screen.quick().tabs.setCurrentWidget(box)
    box.day.setText(on)
    box.value.setText(value)
    box.write_down()
    return box


def records(path: Path, name: str = "North") -> tuple[Record, ...]:
    desk = desk_of(path)
    tub = next(each.id for each in tubs(desk) if each.name == name)
    found = recent_records(desk, tub)
    desk.store.close()
    return found


def test_the_page_holds_what_every_page_must(qtbot: QtBot, shown: Shown) -> None:
    window, screen = shown
    window.resize(1280, 1000)
    assert audit(window) == []
    for at in range(screen.quick().tabs.count()):
        screen.quick().tabs.setCurrentIndex(at)
        settle(qtbot, window)
        # The height follows the wrapped text one turn of the loop later.
        qtbot.waitUntil(lambda: not clipped(window))
        assert audit(window) == []


def test_one_click_counts_a_dip_and_undo_takes_it_back(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    screen.dip_action.trigger()
    assert "One dip in North" in said(qtbot, window)
    assert [record.amount for record in records(path)] == [1]
    window.menus.undo.trigger()
    assert "Taken back" in said(qtbot, window)
    assert records(path) == ()


def test_a_dip_takes_who_how_long_how_cold_and_when(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    box = screen.quick().dips
    for field, text in (
        (box.count, "2"),
        (box.who, "Bo"),
        (box.minutes, "3 min"),
        (box.water, "5.5"),
        (box.day, "2026-05-04"),
    ):
        field.setText(text)
    QTest.keyClick(box.water, Qt.Key.Key_Return)
    assert "2 dips in North" in said(qtbot, window)
    (dip,) = records(path)
    assert (dip.who, dip.amount, dip.minutes, dip.water_c) == ("Bo", 2, 3, 5.5)
    assert dip.on.isoformat() == "2026-05-04"
    assert box.who.text() == ""


def test_the_other_tub_is_chosen_and_gets_the_dip(qtbot: QtBot, shown: Shown, path: Path) -> None:
    window, screen = shown
    QTest.keyClick(screen.choice, Qt.Key.Key_Down)
    screen.choice.activated.emit(screen.choice.currentIndex())
    settle(qtbot, window)
    screen.dip_action.trigger()
    assert "One dip in South" in said(qtbot, window)
    assert len(records(path, "South")) == 1
    assert records(path) == ()


def test_readings_ask_for_what_the_tub_has_and_show_the_last_values(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    box = screen.quick().readings
    assert "bromine_mg_l" not in box.fields
    box.fields["ph"].setText("7.4")
    box.fields["free_chlorine_mg_l"].setText("1.2")
    box.write_down()
    assert "pH 7.4 and free chlorine 1.2" in said(qtbot, window)
    assert {record.name for record in records(path)} == {"ph", "free_chlorine_mg_l"}
    assert box.fields["ph"].text() == ""
    assert any("Last 7.4" in label.text() for label in box.findChildren(QLabel))


def test_an_unlikely_value_is_asked_about_and_kept_as_it_was_written(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    box = screen.quick().readings
    box.fields["ph"].setText("4.1")
    box.write_down()
    qtbot.waitUntil(lambda: "pH 4.1 is unusual" in box.form.error_of("ph"))
    assert records(path) == ()
    QTest.keyClick(box.fields["ph"], Qt.Key.Key_Return)
    assert "Written down" in said(qtbot, window)
    (reading,) = records(path)
    assert reading.amount == 4.1


def test_mending_an_unlikely_value_takes_the_question_back(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    box = screen.quick().readings
    box.fields["ph"].setText("4.1")
    box.write_down()
    qtbot.waitUntil(lambda: bool(box.told.text()))
    box.fields["ph"].clear()
    QTest.keyClicks(box.fields["ph"], "7.1")
    assert not box.told.text()
    assert not box.form.error_of("ph")
    box.write_down()
    assert "Written down: pH 7.1" in said(qtbot, window)
    assert len(records(path)) == 1


def test_a_value_that_cannot_be_is_told_beside_its_field_and_stays(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    box = screen.quick().readings
    box.fields["ph"].setText("71")
    box.write_down()
    settle(qtbot, window)
    qtbot.waitUntil(lambda: bool(box.form.error_of("ph")))
    assert box.fields["ph"].text() == "71"
    assert records(path) == ()


def test_another_quantity_can_be_added(qtbot: QtBot, shown: Shown) -> None:
    window, screen = shown
    box = screen.quick().readings
    box.more.setCurrentIndex(box.more.findData("tds_mg_l"))
    box.more.activated.emit(box.more.currentIndex())
    box.fields["tds_mg_l"].setText("420")
    box.write_down()
    assert "dissolved solids 420" in said(qtbot, window)
    assert "tds_mg_l" in box.fields


def test_a_meter_that_runs_back_is_refused_until_it_was_exchanged(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    read_meter(screen, "120.5", "2026-05-05")
    assert "at 120.5" in said(qtbot, window)
    box = read_meter(screen, "3", "2026-05-06")
    qtbot.waitUntil(lambda: "do not run back" in box.told.text())
    assert box.value.text() == "3"
    box.exchanged.setChecked(True)
    box.write_down()
    assert "at 3" in said(qtbot, window)
    assert [record.new_meter for record in records(path)] == [True, False]


def test_a_meter_that_ran_past_its_last_digit_goes_on(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    box = read_meter(screen, "99990", "2026-05-05")
    assert "at 99" in said(qtbot, window)
    box.rolled.setText("100000")
    read_meter(screen, "5", "2026-05-06")
    assert "at 5" in said(qtbot, window)
    assert box.rolled.text() == ""
    assert [record.amount for record in records(path)] == [5.0, 0.0, 100_000.0, 99_990.0]


def test_fresh_water_is_written_down(qtbot: QtBot, shown: Shown, path: Path) -> None:
    window, screen = shown
    box = screen.quick().fills
    box.write_down()
    assert box.form.error_of("litres")
    box.litres.setText("400")
    box.write_down()
    assert "fresh water written down" in said(qtbot, window)
    (fill,) = records(path)
    assert (fill.kind, fill.amount, fill.name) == (RecordKind.FILL, 400, "change")


def test_a_record_is_deleted_by_key_and_comes_back_by_undo(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    screen.dip_action.trigger()
    assert "One dip" in said(qtbot, window)
    screen.quick().table.setCurrentIndex(QModelIndex())
    screen.quick().delete_action.trigger()
    assert "Choose a record" in window.strip.text
    screen.quick().table.choose((RecordKind.DIP, records(path)[0].id))
    screen.quick().delete_action.trigger()
    assert "Deleted: Dips, 1" in said(qtbot, window)
    assert records(path) == ()
    window.menus.undo.trigger()
    assert "Taken back" in said(qtbot, window)
    assert len(records(path)) == 1


def test_a_kit_in_other_units_is_read_in_them_and_kept_in_one(
    qtbot: QtBot, make_window: Callable[..., Window], path: Path
) -> None:
    desk = desk_of(path)
    change_kit(
        desk,
        tubs(desk)[0].id,
        Kit(fields=("ph", "hardness_mg_l"), units={Dimension.HARDNESS: Unit.GERMAN_DEGREE}),
    )
    desk.store.close()
    window, screen = tub_screen(qtbot, make_window, path)
    box = screen.quick().readings
    assert "free_chlorine_mg_l" not in box.fields
    assert box.fields["hardness_mg_l"].placeholderText() == "°dH"
    box.fields["hardness_mg_l"].setText("4")
    box.write_down()
    assert "°dH" in said(qtbot, window)
    (reading,) = records(path)
    # 1 °dH is 10 mg/L CaO (DIN 38409-6), so 17.85 mg/L as CaCO3 by the molar masses.
    assert reading.amount == pytest.approx(4 * 17.85, rel=1e-3)


def test_a_meter_that_jumps_is_asked_about_and_kept_when_it_is_so(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    read_meter(screen, "100", "2026-05-06")
    assert "at 100" in said(qtbot, window)
    box = read_meter(screen, "1000", "2026-05-06")
    assert "is the most to expect" in box.form.error_of("value")
    assert len(records(path)) == 1
    QTest.keyClick(box.value, Qt.Key.Key_Return)
    assert "at 1000" in said(qtbot, window)
    assert records(path)[0].amount == 1000


def test_more_water_than_the_tub_holds_is_asked_about(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    box = screen.quick().fills
    box.litres.setText("4000")
    box.write_down()
    assert "more than the tub holds" in box.form.error_of("litres")
    box.litres.setText("400")
    box.write_down()
    assert "written down" in said(qtbot, window)
    assert [record.amount for record in records(path)] == [400]
