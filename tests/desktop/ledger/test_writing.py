"""The forms beside the ledger: purchases, refunds, the build, corrections."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.ledger.conftest import TODAY, all_entries, noticed, purchase, quiet
from tubcare.desktop.ledger_changes import CorrectionForm, RefundForm
from tubcare.desktop.ledger_forms import BuildForm
from tubcare.ledger.categories import SpendCategory
from tubcare.services.entries import entry_detail
from tubcare.services.money import BuildCost, DirectPurchase, add_build_cost, pay
from tubcare.services.supplies import supplies

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.ledger_screen import LedgerScreen
    from tubcare.services.desk import Desk


def test_a_purchase_for_the_shelf_takes_supply_quantity_price_and_expiry(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    form = purchase(screen)
    form.supply.setCurrentText("Test strips")
    form.quantity.setText("50")
    form.unit.setText("strip")
    form.amount.setText("9.90")
    form.category.choose(SpendCategory.TESTING.value)
    form.expires.setText("30/11/2027")
    QTest.keyClick(form.amount, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Test strips, €9.90" in screen.context.strip.text)
    (supply,) = supplies(desk)
    assert (supply.quantity_milli, supply.value_minor) == (50_000, 990)
    detail = entry_detail(desk, all_entries(desk)[0].id)
    assert detail.expires_on == date(2027, 11, 30)
    quiet(qtbot, screen)
    assert "Keeps until: 30 Nov 2027" in screen.side.detail.told()


def test_a_refund_starts_from_what_was_paid_and_is_linked_to_it(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    paid = pay(
        desk, DirectPurchase(on=TODAY, category=SpendCategory.PARTS, minor=4000, note="Pump")
    )
    screen.show_subject(paid)
    quiet(qtbot, screen)
    screen.writer.refund()
    form = screen.side.form
    assert isinstance(form, RefundForm)
    assert form.amount.text() == "40.00"
    form.amount.setText("15")
    QTest.keyClick(form.amount, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "-€15.00" in screen.context.strip.text)
    back = next(e for e in all_entries(desk) if e.minor < 0)
    assert (back.refund_of, back.minor) == (paid, -1500)
    quiet(qtbot, screen)


def test_a_refund_larger_than_what_was_paid_is_refused_in_words(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    paid = pay(desk, DirectPurchase(on=TODAY, category=SpendCategory.PARTS, minor=4000))
    screen.show_subject(paid)
    quiet(qtbot, screen)
    screen.writer.refund()
    form = screen.side.form
    assert isinstance(form, RefundForm)
    form.amount.setText("41")
    screen.side.save()
    quiet(qtbot, screen)
    assert len(all_entries(desk)) == 1
    assert "more would come back than was paid" in noticed(screen)
    assert screen.side.form is form


def test_the_build_is_written_off_over_its_months(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    screen.writer.build()
    form = screen.side.form
    assert isinstance(form, BuildForm)
    form.what.setText("Freezer chest")
    form.amount.setText("960")
    form.months.setText("96")
    screen.side.save()
    qtbot.waitUntil(lambda: "Freezer chest" in screen.context.strip.text)
    quiet(qtbot, screen)
    assert "Spread over: 96 months, €10.00 each" in screen.side.detail.told()
    assert entry_detail(desk, all_entries(desk)[0].id).months == 96


def test_the_use_of_a_part_of_the_build_can_end(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    made = add_build_cost(
        desk, BuildCost(on=date(2026, 1, 1), minor=9600, months=96, note="Chest")
    )
    screen.show_subject(made)
    quiet(qtbot, screen)
    screen.writer.end()
    screen.side.save()
    qtbot.waitUntil(lambda: "written off" in screen.context.strip.text)
    assert entry_detail(desk, made).ended_on == TODAY


def test_a_correction_changes_every_field_and_undo_brings_them_back(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    paid = pay(
        desk, DirectPurchase(on=TODAY, category=SpendCategory.OTHER, minor=4000, note="Pmup")
    )
    screen.show_subject(paid)
    quiet(qtbot, screen)
    QTest.keyClick(screen.lists.paid, Qt.Key.Key_Return)
    form = screen.side.form
    assert isinstance(form, CorrectionForm)
    form.note.setText("Pump")
    form.amount.setText("39.90")
    form.category.choose(SpendCategory.PARTS.value)
    form.payee.setText("Harbour shop")
    form.task.setCurrentText("Clean the condenser coil")
    screen.side.save()
    qtbot.waitUntil(lambda: "Changed: Pump, €39.90" in screen.context.strip.text)
    (entry,) = all_entries(desk)
    assert (entry.note, entry.category, entry.payee) == (
        "Pump",
        SpendCategory.PARTS,
        "Harbour shop",
    )
    assert entry.task_title == "Clean the condenser coil"
    screen.context.undo()
    qtbot.waitUntil(lambda: "Taken back" in screen.context.strip.text)
    assert all_entries(desk)[0].note == "Pmup"
    quiet(qtbot, screen)


def test_delete_takes_effect_at_once_and_undo_brings_it_back(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    paid = pay(desk, DirectPurchase(on=TODAY, category=SpendCategory.OTHER, minor=4000, note="X"))
    screen.show_subject(paid)
    quiet(qtbot, screen)
    screen.lists.paid.setFocus()
    QTest.keyClick(screen.lists.paid, Qt.Key.Key_Delete)
    qtbot.waitUntil(lambda: "Deleted: X." in screen.context.strip.text)
    assert all_entries(desk) == ()
    screen.context.undo()
    qtbot.waitUntil(lambda: "Taken back" in screen.context.strip.text)
    assert len(all_entries(desk)) == 1
    quiet(qtbot, screen)


def test_escape_leaves_a_form_and_the_keyboard_is_back_in_the_list(
    qtbot: QtBot, screen: LedgerScreen
) -> None:
    form = purchase(screen)
    QTest.keyClick(form.quantity, Qt.Key.Key_Escape)
    assert not screen.side.shows_form
    quiet(qtbot, screen)
