"""The ledger in the window: written by keys, corrected, taken back, exported."""

from __future__ import annotations

import csv
import io
from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton

from tests.desktop.audit import audit, clipped
from tests.desktop.conftest import settle
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.desktop.ledger_changes import CorrectionForm, RefundForm
from tubcare.desktop.ledger_forms import BuildForm, PurchaseForm
from tubcare.desktop.ledger_screen import LedgerScreen
from tubcare.desktop.ledger_settings import BudgetForm, PriceForm
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.ledger.categories import SpendCategory
from tubcare.services.budgets import budgets
from tubcare.services.desk import Desk
from tubcare.services.entries import Entry, entries, entry_detail
from tubcare.services.household import start_logbook
from tubcare.services.money import BuildCost, DirectPurchase, add_build_cost, pay
from tubcare.services.prices import prices
from tubcare.services.reviews import year_review
from tubcare.services.supplies import supplies, throw_away
from tubcare.store.open import open_store
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QWidget
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.theme import Theme

NOW = noon(2026, 5, 6)
TODAY = date(2026, 5, 6)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    desk = open_desk(path)
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    tub = add_tub(desk, zone="UTC")
    add_task(desk, tub, title="Clean the condenser coil", category="chiller")
    desk.store.close()
    return path


def open_desk(path: Path) -> Desk:
    return Desk(open_store(path, NOW), StillClock(NOW), "Ann")


@pytest.fixture
def desk(path: Path) -> Iterator[Desk]:
    desk = open_desk(path)
    yield desk
    desk.store.close()


@pytest.fixture
def screen(make_window: Callable[..., Window], path: Path, qtbot: QtBot) -> LedgerScreen:
    window = make_window(sections=SECTIONS, open_logbook=lambda: OpenLogbook(open_desk(path)))
    window.go("ledger")
    settle(qtbot, window)
    window.activateWindow()
    QTest.qWaitForWindowActive(window, 1000)
    screen = window.screens.current
    assert isinstance(screen, LedgerScreen)
    return screen


def window_of(screen: LedgerScreen) -> Window:
    return screen.window()  # type: ignore[return-value]


def noticed(screen: LedgerScreen) -> str:
    return " ".join(label.text() for label in screen.context.notices.findChildren(QLabel))


def quiet(qtbot: QtBot, screen: LedgerScreen) -> None:
    qtbot.waitUntil(lambda: not screen.context.work.busy, timeout=5000)


def all_entries(desk: Desk) -> tuple[Entry, ...]:
    return entries(desk, first=date(2000, 1, 1), last=date(2100, 1, 1))


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
        open_logbook=lambda: OpenLogbook(open_desk(path)),
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


def purchase(screen: LedgerScreen) -> PurchaseForm:
    screen.writer.buy()
    form = screen.side.form
    assert isinstance(form, PurchaseForm)
    return form


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


def test_quick_entry_fills_the_shelf_when_a_supply_is_named(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    test_a_purchase_for_the_shelf_takes_supply_quantity_price_and_expiry(qtbot, screen, desk)
    quick = screen.quick
    quick.supply.setCurrentText("Test strips")
    assert quick.what.text() == "Test strips"
    quick.amount.setText("5")
    quick.save.click()
    assert quick.error_of("quantity_milli")
    quick.quantity.setText("25")
    quick.save.click()
    qtbot.waitUntil(lambda: "Test strips, €5.00" in screen.context.strip.text)
    assert supplies(desk)[0].quantity_milli == 75_000


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


def test_budgets_of_a_year_are_kept_by_kind(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    screen.writer.budgets()
    qtbot.waitUntil(lambda: screen.side.shows_form)
    form = screen.side.form
    assert isinstance(form, BudgetForm)
    assert form.year.currentData() == 2026
    form.amounts[SpendCategory.POWER].setText("140")
    form.amounts[SpendCategory.FILTERS].setText("30")
    screen.side.save()
    qtbot.waitUntil(lambda: "budgets of 2026" in screen.context.strip.text)
    assert budgets(desk, 2026) == {SpendCategory.POWER: 14_000, SpendCategory.FILTERS: 3000}
    quiet(qtbot, screen)


def test_budgets_typed_for_several_years_are_all_kept_in_one_step(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    screen.writer.budgets()
    qtbot.waitUntil(lambda: screen.side.shows_form)
    form = screen.side.form
    assert isinstance(form, BudgetForm)
    form.amounts[SpendCategory.POWER].setText("140")
    form.year.choose(2027)
    assert form.amounts[SpendCategory.POWER].text() == ""
    form.amounts[SpendCategory.POWER].setText("150")
    form.year.choose(2026)
    assert form.amounts[SpendCategory.POWER].text() == "140.00"
    screen.side.save()
    qtbot.waitUntil(lambda: "budgets of 2026" in screen.context.strip.text)
    assert [budgets(desk, year)[SpendCategory.POWER] for year in (2026, 2027)] == [14_000, 15_000]
    screen.context.undo()
    qtbot.waitUntil(lambda: "Taken back" in screen.context.strip.text)
    assert budgets(desk, 2026) == budgets(desk, 2027) == {}
    quiet(qtbot, screen)


def test_a_budget_that_cannot_be_read_keeps_its_year_in_sight(
    qtbot: QtBot, screen: LedgerScreen
) -> None:
    screen.writer.budgets()
    qtbot.waitUntil(lambda: screen.side.shows_form)
    form = screen.side.form
    assert isinstance(form, BudgetForm)
    form.amounts[SpendCategory.POWER].setText("plenty")
    form.year.choose(2027)
    assert form.year.currentData() == 2026
    assert form.error_of("power")


def test_markup_in_a_note_is_shown_letter_by_letter(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    note = "<b>Lid</b> & <img src=x>"
    pay(desk, DirectPurchase(on=TODAY, category=SpendCategory.PARTS, minor=1, note=note))
    screen.refresh()
    quiet(qtbot, screen)
    assert screen.side.detail.title.text() == note
    assert screen.side.detail.title.textFormat() is Qt.TextFormat.PlainText


def test_prices_of_power_and_water_are_kept_exactly(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    screen.writer.prices()
    qtbot.waitUntil(lambda: screen.side.shows_form)
    form = screen.side.form
    assert isinstance(form, PriceForm)
    form.power.setText("0.3215")
    form.water.setText("1.5")
    screen.side.save()
    qtbot.waitUntil(lambda: "prices are kept" in screen.context.strip.text)
    kept = prices(desk)
    assert (f"{kept.power_per_kwh}", f"{kept.water_per_m3}") == ("0.3215", "1.5")
    quiet(qtbot, screen)


def test_the_period_and_the_kind_choose_what_is_listed(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    for on, category in (
        (date(2024, 3, 1), SpendCategory.PARTS),
        (TODAY, SpendCategory.PARTS),
        (TODAY, SpendCategory.POWER),
    ):
        pay(desk, DirectPurchase(on=on, category=category, minor=1000))
    screen.refresh()
    quiet(qtbot, screen)
    assert len(screen.lists.paid_model.rows) == 2
    screen.filter.period.setCurrentText("Year 2024")
    screen.filter.period.activated.emit(screen.filter.period.currentIndex())
    quiet(qtbot, screen)
    assert [e.on.year for e in screen.lists.paid_model.rows] == [2024]
    screen.filter.last.setText("6/5/2026")
    screen.filter.last.editingFinished.emit()
    quiet(qtbot, screen)
    screen.filter.kind.choose(SpendCategory.PARTS.value)
    screen.filter.kind.activated.emit(0)
    assert [e.on.year for e in screen.lists.paid_model.rows] == [2026, 2024]
    assert "€20.00" in screen.subtitle.text()


def test_another_screen_can_send_the_person_to_an_amount_of_any_year(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    old = pay(
        desk,
        DirectPurchase(on=date(2019, 2, 1), category=SpendCategory.PARTS, minor=1000, note="Lid"),
    )
    screen.context.go("ledger", old)
    quiet(qtbot, screen)
    assert screen.lists.paid.current_row is not None
    assert screen.lists.paid.current_row.id == old
    assert screen.side.detail.told().startswith("Lid\nAmount: €10.00")


def test_an_empty_period_says_so_and_what_to_do(screen: LedgerScreen) -> None:
    assert not screen.lists.paid.isVisible()
    shown = screen.lists.currentWidget()
    assert shown is not None
    told = [label.text() for label in shown.findChildren(QLabel)]
    assert told[0] == "No amounts in this period"
    (button,) = shown.findChildren(QPushButton)
    button.click()
    assert screen.window().focusWidget() is screen.quick.what


def test_the_listed_amounts_go_to_a_table_that_is_safe_to_open(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk, tmp_path: Path
) -> None:
    pay(
        desk,
        DirectPurchase(on=TODAY, category=SpendCategory.PARTS, minor=1005, note='=HYPERLINK("x")'),
    )
    screen.refresh()
    quiet(qtbot, screen)
    target = tmp_path / "ledger.csv"
    screen.export_to(target)
    qtbot.waitUntil(lambda: str(target) in screen.context.strip.text)
    (row,) = csv.DictReader(io.StringIO(target.read_text(encoding="utf-8-sig")))
    assert (row["date"], row["amount"], row["currency"]) == ("2026-05-06", "10.05", "EUR")
    assert row["note"] == '\'=HYPERLINK("x")'


def test_the_ledger_is_whole_for_keyboard_and_screen_reader(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    pay(desk, DirectPurchase(on=TODAY, category=SpendCategory.PARTS, minor=1005, note="Lid"))
    screen.refresh()
    quiet(qtbot, screen)
    assert audit(window_of(screen)) == []
    purchase(screen)
    assert audit(window_of(screen)) == []


def test_escape_leaves_a_form_and_the_keyboard_is_back_in_the_list(
    qtbot: QtBot, screen: LedgerScreen
) -> None:
    form = purchase(screen)
    QTest.keyClick(form.quantity, Qt.Key.Key_Escape)
    assert not screen.side.shows_form
    quiet(qtbot, screen)


def test_what_was_used_is_a_second_list_that_adds_up_to_the_review(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk, tmp_path: Path
) -> None:
    test_a_purchase_for_the_shelf_takes_supply_quantity_price_and_expiry(qtbot, screen, desk)
    (supply,) = supplies(desk)
    throw_away(desk, supply.id, quantity_milli=10_000, on=TODAY)
    pay(desk, DirectPurchase(on=TODAY, category=SpendCategory.PARTS, minor=1005, note="Lid"))
    screen.refresh()
    quiet(qtbot, screen)
    screen.filter.view.setCurrentIndex(1)
    screen.filter.view.activated.emit(1)
    quiet(qtbot, screen)
    lines = screen.lists.used_model.rows
    assert [(line.kind, line.minor) for line in lines] == [("expired", 198), ("direct", 1005)]
    assert "Used in this period: €12.03" in screen.subtitle.text()
    assert year_review(desk, 2026).review.used.total.minor == 1203
    target = tmp_path / "used.csv"
    screen.export_to(target)
    qtbot.waitUntil(lambda: str(target) in screen.context.strip.text)
    table = csv.DictReader(io.StringIO(target.read_text(encoding="utf-8-sig")))
    assert [(row["kind"], row["used"]) for row in table] == [
        ("expired", "1.98"),
        ("direct", "10.05"),
    ]
    screen.lists.used.choose(lines[0].key)
    assert "How: thrown away" in screen.side.detail.told()
    assert "At the average price of: €0.20 for strip" in screen.side.detail.told()


def test_text_half_as_large_again_is_whole_in_a_window_of_1280(
    qtbot: QtBot, screen: LedgerScreen, theme: Theme, desk: Desk
) -> None:
    while theme.text_percent < 150:
        theme.larger_text()
    window = window_of(screen)
    pay(desk, DirectPurchase(on=TODAY, category=SpendCategory.PARTS, minor=1005, note="Lid"))
    screen.refresh()
    quiet(qtbot, screen)
    window.resize(1280, 720)
    qtbot.waitUntil(lambda: window.width() == 1280)
    assert clipped(window) == []
    purchase(screen)
    assert clipped(window) == []
    theme.normal_text()
