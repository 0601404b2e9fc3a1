"""Catching up on a real logbook, by keyboard alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QLineEdit, QWidget

from tests.desktop.audit import audit
from tests.desktop.desks import desk_on, new_desk, window_on
from tests.support.dump import facts
from tests.support.plans import add_task, add_tub
from tubcare.desktop.catch_up_screen import CatchUpScreen
from tubcare.services.catch_up import CellKey, RowKey, SheetKind
from tubcare.services.measures import MeterValue, add_readings
from tubcare.services.meters import add_meter_reading
from tubcare.services.water_kit import change_kit, tub_kit
from tubcare.values import TubId
from tubcare.water.units import Dimension, Unit

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

Key = Qt.Key
Ctrl = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Two tubs; one task due on 1 May, one not before June; a reading and a meter on record."""
    path = tmp_path / "a.db"
    desk = new_desk(path)
    north = add_tub(desk, zone="UTC")
    add_tub(desk, name="South", zone="UTC")
    add_task(desk, north)
    add_task(desk, north, title="Oil the bench", starts_on=date(2026, 5, 4))
    add_readings(desk, north, {"ph": 7.3}, on=date(2026, 5, 2))
    add_meter_reading(desk, north, MeterValue(counter="kwh", value_milli=100_000))
    desk.store.close()
    return path


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return window_on(make_window, path)


@pytest.fixture
def screen(qtbot: QtBot, window: Window) -> CatchUpScreen:
    window.activateWindow()
    assert QTest.qWaitForWindowActive(window, 1000)
    QTest.keyClick(window, Key.Key_U, Ctrl)
    found = window.screens.current
    assert isinstance(found, CatchUpScreen)
    qtbot.waitUntil(lambda: found.model.rowCount() > 0)
    return found


def cell(
    screen: CatchUpScreen, row: str, day: int, *, tub: int = 1, month: int = 5
) -> QModelIndex:
    kind, _, name = row.partition(":")
    key = RowKey(kind=SheetKind(kind), tub=tub, name=name)  # type: ignore[arg-type]
    found = screen.model.index_of(CellKey(row=key, on=date(2026, month, day)))
    assert found.isValid()
    return found


def shown(screen: CatchUpScreen, row: str, day: int, *, tub: int = 1) -> str:
    return str(cell(screen, row, day, tub=tub).data())


def type_in(qtbot: QtBot, screen: CatchUpScreen, index: QModelIndex, text: str) -> None:
    """Type as a person does: on the current cell, ended by Enter."""
    screen.table.setCurrentIndex(index)
    screen.table.setFocus()
    QTest.keyClicks(screen.table, text[0])
    editor = screen.window().focusWidget()
    assert isinstance(editor, QLineEdit)
    QTest.keyClicks(editor, text[1:])
    QTest.keyClick(editor, Key.Key_Return)
    qtbot.waitUntil(lambda: screen.window().focusWidget() is screen.table)


def stored(path: Path, table: str) -> list[tuple[object, ...]]:
    desk = desk_on(path)
    rows = facts(desk.store)[table]
    desk.store.close()
    value = {
        "completion": "key",
        "dip": "dips",
        "reading": "value",
        "meter_reading": "value_milli",
    }
    return [(row["on_date"], row[value[table]]) for row in rows]


def test_the_grid_shows_what_was_due_and_what_is_on_record(screen: CatchUpScreen) -> None:
    names = [str(screen.model.index(n, 0).data()) for n in range(screen.model.rowCount())]
    assert names[:4] == ["North", "Swap the filter cartridge", "pH", "Free chlorine (mg/L)"]
    assert {"Water temperature (°C)", "Dips", "Meter: kilowatt hours"} <= set(names)
    assert "South" in names
    assert "Oil the bench" not in names
    assert shown(screen, "task:1", 1) == "Due"
    assert shown(screen, "reading:ph", 2) == "7.3"
    assert screen.subtitle.text() == "30 Apr to 6 May"


def test_a_week_is_entered_by_keyboard_and_written_with_one_undo(
    qtbot: QtBot, window: Window, screen: CatchUpScreen, path: Path
) -> None:
    table = screen.table
    table.setCurrentIndex(cell(screen, "task:1", 1))
    QTest.keyClick(table, Key.Key_Space)
    assert shown(screen, "task:1", 1) == "x"
    type_in(qtbot, screen, cell(screen, "reading:ph", 3), "7.2")
    assert screen.model.key_at(table.currentIndex()) is not None
    qtbot.waitUntil(lambda: shown(screen, "reading:ph", 3) == "7.2")
    type_in(qtbot, screen, cell(screen, "dips:", 4, tub=2), "6")
    qtbot.waitUntil(lambda: "3 fields not saved yet" in screen.subtitle.text())
    assert stored(path, "completion") == []
    QTest.keyClick(window, Key.Key_S, Ctrl)
    qtbot.waitUntil(lambda: "Written down: 1 tick, 1 reading" in window.strip.text)
    qtbot.waitUntil(lambda: shown(screen, "task:1", 1) == "Done")
    assert stored(path, "completion") == [(date(2026, 5, 1), "start:1")]
    assert stored(path, "dip") == [(date(2026, 5, 4), 6)]
    assert (date(2026, 5, 3), 7.2) in stored(path, "reading")
    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: shown(screen, "task:1", 1) == "Due")
    assert stored(path, "dip") == []


def test_enter_goes_to_the_field_below(qtbot: QtBot, screen: CatchUpScreen) -> None:
    type_in(qtbot, screen, cell(screen, "reading:ph", 3), "7.2")
    below = cell(screen, "reading:free_chlorine_mg_l", 3)
    qtbot.waitUntil(lambda: screen.table.currentIndex() == below)
    screen.table.setFocus()
    QTest.keyClick(screen.table, Key.Key_Return)
    assert screen.table.currentIndex().row() == below.row() + 1


def test_what_cannot_be_understood_says_so_in_its_field_and_stays(
    qtbot: QtBot, window: Window, screen: CatchUpScreen, path: Path
) -> None:
    ph = cell(screen, "reading:ph", 3)
    type_in(qtbot, screen, ph, "7..2")
    qtbot.waitUntil(lambda: shown(screen, "reading:ph", 3) == "7..2\nUnclear")
    screen.table.setCurrentIndex(cell(screen, "task:1", 1))
    QTest.keyClick(screen.table, Key.Key_Space)
    QTest.keyClick(window, Key.Key_S, Ctrl)
    assert "1 field cannot be used" in window.strip.text
    assert screen.table.currentIndex() == ph
    assert "“7..2” is not a number" in screen.told.text()
    assert "Unclear" in str(ph.data(Qt.ItemDataRole.AccessibleTextRole))
    assert stored(path, "completion") == []


def test_what_the_logbook_refuses_is_told_in_each_field(
    qtbot: QtBot, window: Window, screen: CatchUpScreen, path: Path
) -> None:
    type_in(qtbot, screen, cell(screen, "reading:ph", 3), "72")
    type_in(qtbot, screen, cell(screen, "meter:kwh", 4), "1200")
    type_in(qtbot, screen, cell(screen, "dips:", 4), "2")
    QTest.keyClick(window, Key.Key_S, Ctrl)
    qtbot.waitUntil(lambda: shown(screen, "reading:ph", 3) == "72\nOut of range")
    assert shown(screen, "meter:kwh", 4) == "1200\nDoes not fit"
    assert shown(screen, "dips:", 4) == "2"
    assert stored(path, "dip") == []
    assert "2 fields cannot be used" in window.strip.text


def test_an_unlikely_reading_is_asked_about_once_and_kept_as_written(
    qtbot: QtBot, window: Window, screen: CatchUpScreen, path: Path
) -> None:
    type_in(qtbot, screen, cell(screen, "reading:ph", 3), "5.9")
    QTest.keyClick(window, Key.Key_S, Ctrl)
    qtbot.waitUntil(lambda: shown(screen, "reading:ph", 3) == "5.9\nSure?")
    assert "is common" in screen.told.text()
    assert "Save once more" in screen.told.text()
    QTest.keyClick(window, Key.Key_S, Ctrl)
    qtbot.waitUntil(lambda: "Written down: 1 reading" in window.strip.text)
    assert (date(2026, 5, 3), 5.9) in stored(path, "reading")


def test_readings_are_typed_and_shown_in_the_units_of_the_kit(
    qtbot: QtBot, window: Window, screen: CatchUpScreen, path: Path
) -> None:
    desk = desk_on(path)
    kit = replace(tub_kit(desk, TubId(1)), units={Dimension.ALKALINITY: Unit.MMOL_L})
    change_kit(desk, TubId(1), kit)
    desk.store.close()
    screen.refresh()
    qtbot.waitUntil(lambda: not window.work.busy)
    alkalinity = cell(screen, "reading:alkalinity_mg_l", 3)
    assert alkalinity.siblingAtColumn(0).data() == f"Alkalinity ({Unit.MMOL_L.value})"
    type_in(qtbot, screen, alkalinity, "1.6")
    QTest.keyClick(window, Key.Key_S, Ctrl)
    qtbot.waitUntil(lambda: "Written down: 1 reading" in window.strip.text)
    # Alkalinity as calcium carbonate, 100.09 g/mol with two equivalents: 50.04 mg for each mmol.
    (_, value) = stored(path, "reading")[-1]
    assert value == pytest.approx(1.6 * 50.04, rel=1e-3)
    qtbot.waitUntil(lambda: shown(screen, "reading:alkalinity_mg_l", 3) == "1.6")


def test_early_work_asks_in_its_field_what_it_means(
    qtbot: QtBot, window: Window, screen: CatchUpScreen, path: Path
) -> None:
    screen.menu_actions[3].trigger()
    early = cell(screen, "task:2", 5)
    screen.table.setCurrentIndex(early)
    QTest.keyClick(screen.table, Key.Key_X)
    QTest.keyClick(window, Key.Key_S, Ctrl)
    qtbot.waitUntil(lambda: shown(screen, "task:2", 5) == "x\nEarly")
    assert "Type x! if its clock starts anew, x+ for extra work." in screen.told.text()
    QTest.keyClicks(screen.table, "+")
    assert shown(screen, "task:2", 5) == "x+"
    QTest.keyClick(window, Key.Key_S, Ctrl)
    qtbot.waitUntil(lambda: "Written down: 1 tick" in window.strip.text)
    assert stored(path, "completion") == [(date(2026, 5, 5), None)]


def test_what_is_typed_outlives_other_weeks_and_is_saved_with_them(
    qtbot: QtBot, window: Window, screen: CatchUpScreen, path: Path
) -> None:
    type_in(qtbot, screen, cell(screen, "dips:", 4), "2")
    QTest.keyClick(window, Key.Key_PageUp, Ctrl)
    qtbot.waitUntil(lambda: screen.subtitle.text().startswith("23 Apr to 29 Apr"))
    assert "1 field not saved yet" in screen.subtitle.text()
    type_in(qtbot, screen, cell(screen, "dips:", 28, month=4), "3")
    QTest.keyClick(window, Key.Key_PageDown, Ctrl)
    qtbot.waitUntil(lambda: screen.subtitle.text().startswith("30 Apr to 6 May"))
    assert shown(screen, "dips:", 4) == "2"
    QTest.keyClick(window, Key.Key_S, Ctrl)
    qtbot.waitUntil(lambda: "Written down: 5 dips." in window.strip.text)
    assert stored(path, "dip") == [(date(2026, 4, 28), 3), (date(2026, 5, 4), 2)]


def test_delete_clears_a_field_and_space_takes_a_tick_back(
    qtbot: QtBot, screen: CatchUpScreen
) -> None:
    type_in(qtbot, screen, cell(screen, "dips:", 4), "2")
    dips = cell(screen, "dips:", 4)
    screen.table.setCurrentIndex(dips)
    screen.table.setFocus()
    QTest.keyClick(screen.table, Key.Key_Delete)
    assert dips.data() == ""
    screen.table.setCurrentIndex(cell(screen, "task:1", 2))
    for wanted in ("x", ""):
        QTest.keyClick(screen.table, Key.Key_Space)
        assert shown(screen, "task:1", 2) == wanted
    qtbot.waitUntil(lambda: "not saved" not in screen.subtitle.text())


def test_nothing_typed_is_said_and_a_recorded_tick_takes_nothing_more(
    qtbot: QtBot, window: Window, screen: CatchUpScreen
) -> None:
    QTest.keyClick(window, Key.Key_S, Ctrl)
    assert "Nothing is typed yet" in window.strip.text
    screen.table.setCurrentIndex(cell(screen, "task:1", 1))
    QTest.keyClick(screen.table, Key.Key_Space)
    QTest.keyClick(window, Key.Key_S, Ctrl)
    qtbot.waitUntil(lambda: shown(screen, "task:1", 1) == "Done")
    screen.table.setCurrentIndex(cell(screen, "task:1", 1))
    QTest.keyClick(screen.table, Key.Key_Space)
    assert shown(screen, "task:1", 1) == "Done"
    assert "On record already" in screen.told.text()


def test_the_model_keeps_to_the_rules_of_qt(screen: CatchUpScreen) -> None:
    mode = QAbstractItemModelTester.FailureReportingMode.Fatal
    tester = QAbstractItemModelTester(screen.model, mode)
    screen.menu_actions[3].trigger()
    assert tester.model() is screen.model
    assert "Oil the bench" in [
        screen.model.index(n, 0).data() for n in range(screen.model.rowCount())
    ]


def test_the_grid_passes_the_audit(window: Window, screen: CatchUpScreen) -> None:
    window.resize(1280, 800)
    assert audit(window) == []
    assert isinstance(screen.table.viewport(), QWidget)
