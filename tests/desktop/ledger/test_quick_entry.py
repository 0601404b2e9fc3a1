"""Quick entry of amounts: by keys alone, as the locale writes them."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on
from tests.desktop.ledger.conftest import TODAY, all_entries, quiet
from tubcare.desktop.ledger_screen import LedgerScreen
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.ledger.categories import SpendCategory
from tubcare.services.money import DirectPurchase, pay
from tubcare.services.supplies import supplies
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtWidgets import QWidget
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk
    from tubcare.services.supplies import Supply


def type_keys(text: str) -> None:
    """Type where the keyboard is, as a person does."""
    QTest.keyClicks(focused(), text)


def focused() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def test_what_amount_enter_writes_an_amount_down_by_keys_alone(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    assert focused() is screen.quick.what
    type_keys("New hose")
    QTest.keyClick(focused(), Qt.Key.Key_Tab)
    type_keys("12.5")
    QTest.keyClick(focused(), Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "New hose, €12.50" in screen.context.strip.text)
    (entry,) = all_entries(desk)
    assert (entry.note, entry.minor, entry.on) == ("New hose", 1250, TODAY)
    assert focused() is screen.quick.what
    quiet(qtbot, screen)


def test_the_day_and_the_amount_are_read_as_the_locale_writes_them(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    screen.quick.what.setText("Pump seal")
    screen.quick.amount.setText("€1,234.50")
    screen.quick.day.setText("3/5")
    QTest.keyClick(screen.quick.day, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Pump seal" in screen.context.strip.text)
    (entry,) = all_entries(desk)
    assert (entry.on, entry.minor) == (date(2026, 5, 3), 123_450)


def test_a_german_types_commas_and_points_and_is_shown_them(
    qtbot: QtBot, make_window: Callable[..., Window], path: Path, desk: Desk
) -> None:
    window = make_window(
        sections=SECTIONS,
        open_logbook=lambda: OpenLogbook(desk_on(path)),
        speech=speech_for({}, chosen="de_DE", currency_code="EUR"),
    )
    window.go("ledger")
    settle(qtbot, window)
    screen = window.screens.current
    assert isinstance(screen, LedgerScreen)
    screen.quick.what.setText("Schlauch")
    screen.quick.amount.setText("1.234,50")
    screen.quick.day.setText("3.5.")
    QTest.keyClick(screen.quick.day, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "1.234,50\N{NO-BREAK SPACE}€" in window.strip.text)
    (entry,) = all_entries(desk)
    assert (entry.on, entry.minor) == (date(2026, 5, 3), 123_450)
    quiet(qtbot, screen)


def test_an_amount_can_belong_to_a_kind_a_tub_and_a_task(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    quick = screen.quick
    quick.what.setText("Coil brush")
    quick.amount.setText("8")
    quick.category.choose(SpendCategory.TOOLS.value)
    quick.task.setCurrentText("Clean the condenser coil")
    quick.save.click()
    qtbot.waitUntil(lambda: "Coil brush" in screen.context.strip.text)
    (entry,) = all_entries(desk)
    assert entry.category is SpendCategory.TOOLS
    assert (entry.task_title, entry.tub_name) == ("Clean the condenser coil", "North")


def test_what_cannot_be_read_is_told_beside_its_field_and_stays(
    screen: LedgerScreen, desk: Desk
) -> None:
    screen.quick.what.setText("Hose")
    screen.quick.amount.setText("a lot")
    QTest.keyClick(screen.quick.amount, Qt.Key.Key_Return)
    assert "a lot" in screen.quick.error_of("minor")
    assert screen.quick.amount.text() == "a lot"
    assert all_entries(desk) == ()


def test_what_was_paid_for_before_brings_its_kind(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    pay(desk, DirectPurchase(on=TODAY, category=SpendCategory.REPAIRS, minor=500, note="Hose"))
    screen.refresh()
    quiet(qtbot, screen)
    screen.quick.what.setText("Hose")
    QTest.keyClick(screen.quick.what, Qt.Key.Key_Tab)
    screen.quick.what.editingFinished.emit()
    assert screen.quick.category.currentData() == SpendCategory.REPAIRS.value


def test_quick_entry_fills_the_shelf_when_a_supply_is_named(
    qtbot: QtBot, strips: Supply, screen: LedgerScreen, desk: Desk
) -> None:
    quick = screen.quick
    quick.supply.setCurrentText(strips.name)
    assert quick.what.text() == strips.name
    quick.amount.setText("5")
    quick.save.click()
    assert quick.error_of("quantity_milli")
    quick.quantity.setText("25")
    quick.save.click()
    qtbot.waitUntil(lambda: "Test strips, €5.00" in screen.context.strip.text)
    assert supplies(desk)[0].quantity_milli == 75_000
