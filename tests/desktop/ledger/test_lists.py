"""What the ledger lists: chosen by period and kind, exported, readable for all."""

from __future__ import annotations

import csv
import io
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton

from tests.desktop.audit import audit, clipped
from tests.desktop.ledger.conftest import TODAY, purchase, quiet, window_of
from tubcare.ledger.categories import SpendCategory
from tubcare.services.money import DirectPurchase, pay
from tubcare.services.reviews import year_review
from tubcare.services.supplies import throw_away

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.ledger_screen import LedgerScreen
    from tubcare.desktop.theme import Theme
    from tubcare.services.desk import Desk
    from tubcare.services.supplies import Supply


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


def test_what_was_used_is_a_second_list_that_adds_up_to_the_review(
    qtbot: QtBot, strips: Supply, screen: LedgerScreen, desk: Desk, tmp_path: Path
) -> None:
    throw_away(desk, strips.id, quantity_milli=10_000, on=TODAY)
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


def test_markup_in_a_note_is_shown_letter_by_letter(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    note = "<b>Lid</b> & <img src=x>"
    pay(desk, DirectPurchase(on=TODAY, category=SpendCategory.PARTS, minor=1, note=note))
    screen.refresh()
    quiet(qtbot, screen)
    assert screen.side.detail.title.text() == note
    assert screen.side.detail.title.textFormat() is Qt.TextFormat.PlainText


def test_the_ledger_is_whole_for_keyboard_and_screen_reader(
    qtbot: QtBot, screen: LedgerScreen, desk: Desk
) -> None:
    pay(desk, DirectPurchase(on=TODAY, category=SpendCategory.PARTS, minor=1005, note="Lid"))
    screen.refresh()
    quiet(qtbot, screen)
    assert audit(window_of(screen)) == []
    purchase(screen)
    assert audit(window_of(screen)) == []


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
    # The height follows the wrapped hints one turn of the loop later.
    qtbot.waitUntil(lambda: clipped(window) == [])
    theme.normal_text()
