"""Forms and entry fields: what is typed is understood, faults stand beside the field."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMainWindow

from tests.desktop.audit import audit
from tubcare.desktop.entry import DateEntry, MinutesEntry, MoneyEntry, NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.keeper import Voice
from tubcare.errors import InputError, OutOfRangeError
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.theme import Theme
    from tubcare.words.locale import Speech

TODAY = date(2026, 5, 12)


class Purchase:
    """A form with one field of each kind, in a window."""

    def __init__(self, qtbot: QtBot, speech: Speech) -> None:
        voice = Voice(speech)
        self.form = Form(speech)
        self.what = TextEntry("what", voice, required=True)
        self.paid = MoneyEntry("paid", voice, required=True)
        self.on = DateEntry("on", voice, TODAY)
        self.pieces = NumberEntry("pieces", voice, decimals=0)
        self.took = MinutesEntry("took", voice)
        self.form.add_row("what", "&What", self.what, read=self.what.read)
        self.form.add_row("paid", "&Paid", self.paid, read=self.paid.minor)
        self.form.add_row("on", "&On", self.on, read=self.on.day, hint="Today, if left alone")
        self.form.add_row("pieces", "P&ieces", self.pieces, read=self.pieces.number)
        self.form.add_row("took", "&Took", self.took, read=self.took.minutes)
        self.window = QMainWindow()
        self.window.setWindowTitle("Purchase")
        self.window.setCentralWidget(self.form)
        qtbot.addWidget(self.window)
        self.window.show()
        self.window.activateWindow()
        qtbot.waitUntil(self.window.isActiveWindow)


@pytest.fixture
def purchase(qtbot: QtBot, theme: Theme, speech: Speech) -> Purchase:
    assert theme is not None
    return Purchase(qtbot, speech)


def test_a_form_holds_all_that_a_window_must(purchase: Purchase) -> None:
    assert audit(purchase.window) == []
    purchase.form.check()
    assert audit(purchase.window) == []


def test_a_fault_is_told_beside_the_field_once_it_was_left(purchase: Purchase) -> None:
    purchase.paid.setFocus()
    QTest.keyClicks(purchase.paid, "a lot")
    assert purchase.form.error_of("paid") == ""
    QTest.keyClick(purchase.paid, Qt.Key.Key_Tab)
    assert purchase.form.error_of("paid") != ""
    assert purchase.paid.text() == "a lot"
    assert purchase.paid.accessibleDescription() == purchase.form.error_of("paid")
    purchase.paid.setText("12.50")
    assert purchase.form.error_of("paid") == ""


def test_checking_goes_to_the_first_faulty_field_and_keeps_the_rest(purchase: Purchase) -> None:
    purchase.on.setText("some day")
    purchase.pieces.setText("3")
    assert not purchase.form.check()
    assert purchase.window.focusWidget() is purchase.what
    assert purchase.form.error_of("on") != ""
    assert (purchase.on.text(), purchase.pieces.text()) == ("some day", "3")


def test_enter_hands_a_whole_form_in(purchase: Purchase, qtbot: QtBot) -> None:
    purchase.what.setText("Filter cartridge")
    purchase.paid.setText("30")
    with qtbot.waitSignal(purchase.form.submitted, timeout=1000):
        QTest.keyClick(purchase.paid, Qt.Key.Key_Return)
    assert purchase.paid.minor() == 3000
    assert purchase.on.day() == TODAY
    assert purchase.pieces.number() is None


def test_what_a_service_says_about_a_field_stands_beside_it(purchase: Purchase) -> None:
    assert purchase.form.show_error(InputError("paid", "more than the budget has"))
    assert purchase.form.error_of("paid") == "More than the budget has."
    assert purchase.form.show_error(OutOfRangeError("pieces", 900, 0, 500))
    assert "500" in purchase.form.error_of("pieces")
    assert not purchase.form.show_error(InputError("tub", "unknown"))
    assert not purchase.form.show_error(ValueError("odd"))


def test_dates_are_typed_as_people_write_them_or_moved_with_arrows(purchase: Purchase) -> None:
    for typed, meant in (
        ("yesterday", date(2026, 5, 11)),
        ("today", TODAY),
        ("2026-04-30", date(2026, 4, 30)),
        ("1/5/2026", date(2026, 5, 1)),
    ):
        purchase.on.setText(typed)
        assert purchase.on.day() == meant, typed
    purchase.on.setText("30/4/2026")
    QTest.keyClick(purchase.on, Qt.Key.Key_Up)
    assert purchase.on.day() == date(2026, 5, 1)
    QTest.keyClick(purchase.on, Qt.Key.Key_PageDown)
    assert purchase.on.day() == date(2026, 4, 24)
    assert "Fri" in purchase.on.accessibleDescription()


@pytest.mark.parametrize("tag", ["en_GB", "en_US", "de_DE", "fi_FI", "fr_FR", "sv_SE", "pl_PL"])
def test_a_field_takes_what_it_shows_in_every_locale(qtbot: QtBot, tag: str) -> None:
    voice = Voice(speech_for({}, chosen=tag, currency_code="EUR"))
    money = MoneyEntry("paid", voice)
    day = DateEntry("on", voice, TODAY)
    qtbot.addWidget(money)
    qtbot.addWidget(day)
    money.fill(1_234_567)
    assert money.minor() == 1_234_567
    for shown in (date(2026, 1, 2), date(2025, 12, 31), date(2024, 2, 29)):
        day.fill(shown)
        assert day.day() == shown


def test_a_field_shows_what_it_understood_once_left(purchase: Purchase) -> None:
    purchase.took.setFocus()
    QTest.keyClicks(purchase.took, "1:30")
    QTest.keyClick(purchase.took, Qt.Key.Key_Tab)
    assert purchase.took.text().split() == ["1", "h", "30", "min"]
    assert purchase.took.minutes() == 90
