"""The quick entry above the ledger: what, how much, Enter."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Slot
from PySide6.QtWidgets import QCompleter, QPushButton, QWidget
from typing_extensions import override

from tubcare.desktop.choices import ListBox
from tubcare.desktop.entry import DateEntry, MoneyEntry, NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.ledger_words import milli
from tubcare.desktop.ledger_work import Written, write_direct, write_stock
from tubcare.desktop.theme import main_action
from tubcare.ledger.categories import SpendCategory
from tubcare.services.fields import FIRST_DAY
from tubcare.services.money import Belongs, DirectPurchase, StockPurchase
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from collections.abc import Callable
    from decimal import Decimal

    from PySide6.QtCore import QObject
    from PySide6.QtWidgets import QLabel, QVBoxLayout

    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.ledger_choices import LedgerChoices
    from tubcare.services.supplies import Supply

_PLACES = {
    "note": (0, 0, 5),
    "minor": (0, 5, 2),
    "category": (0, 7, 3),
    "date": (0, 10, 3),
    "tub": (1, 0, 2),
    "task": (1, 2, 5),
    "supply": (1, 7, 3),
    "quantity_milli": (1, 10, 2),
}
"""Row, column and width of each field in a grid of twelve columns."""


class QuickEntry(Form):
    """One amount on two lines of fields; Enter saves from any of them."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self._context = context
        self._choices: LedgerChoices | None = None
        self._grid.setColumnMinimumWidth(0, 0)
        for column in range(12):
            self._grid.setColumnStretch(column, 1)
        self._grid.setVerticalSpacing(2)
        self._grid.setHorizontalSpacing(10)
        voice = context.voice
        self.what = TextEntry("note", voice, required=True)
        self.amount = MoneyEntry("minor", voice, required=True)
        self.category = ListBox()
        self.day = DateEntry("date", voice, FIRST_DAY)
        self.tub, self.task, self.supply = ListBox(), ListBox(), ListBox()
        self.quantity = NumberEntry("quantity_milli", voice, decimals=3)
        self.category.fill((money_word(context.speech, c), c.value) for c in SpendCategory)
        self.category.choose(SpendCategory.OTHER.value)
        self.save = main_action(QPushButton(context.say("Save")))
        self.save.setToolTip(context.say("Enter in any of the fields does the same"))
        self.save.clicked.connect(self._hand_in)
        self._add_rows()

    def show_choices(self, choices: LedgerChoices) -> None:
        """Offer what the logbook holds; what is being typed stays."""
        first = self._choices is None
        self._choices = choices
        self.day.set_today(choices.today)
        say = self._context.say
        self.tub.fill([(say("none"), None), *((n, t) for t, n in choices.tubs.items())])
        if first and len(choices.tubs) == 1:
            self.tub.choose(next(iter(choices.tubs)))
        self._offer_tasks()
        self.supply.fill([(say("none"), None), *((s.name, s.id) for s in choices.supplies)])
        self._follow_supply()
        completer = QCompleter(sorted(choices.recent, key=str.casefold), self.what)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        self.what.setCompleter(completer)

    def job(self) -> Callable[[Desk], Written]:
        """Return what writes the amount down; raises `InputError` for what cannot be used."""
        supply = self._supply()
        day = self.day.day_there()
        category = SpendCategory(self.category.currentData())
        belongs = Belongs(tub=self.tub.currentData(), task=self.task.currentData())
        minor = self.amount.minor() or 0
        quantity = self.quantity.number()
        if supply is None or quantity is None:
            direct = DirectPurchase(
                on=day, category=category, minor=minor, note=self.what.read(), belongs=belongs
            )
            return partial(write_direct, purchase=direct)
        stock = StockPurchase(
            on=day,
            supply=supply.name,
            unit=supply.unit,
            category=supply.category,
            quantity_milli=milli(quantity),
            minor=minor,
            note="" if self.what.read() == supply.name else self.what.read(),
            belongs=belongs,
        )
        return partial(write_stock, purchase=stock)

    def start_anew(self) -> None:
        """Empty what changes from one amount to the next; day, kind and tub stay."""
        self.what.clear()
        self.amount.clear()
        self.quantity.clear()
        self.supply.setCurrentIndex(0)
        self.task.setCurrentIndex(0)
        self._follow_supply()
        self.what.setFocus(Qt.FocusReason.OtherFocusReason)

    def _add_rows(self) -> None:
        say = self._context.say
        self.add_row("note", say("What"), self.what, read=self.what.read)
        self.add_row("minor", say("Amount"), self.amount, read=self.amount.minor)
        self.add_row("category", say("Kind"), self.category)
        self.add_row("date", say("Day"), self.day, read=self.day.day)
        self.add_row("tub", say("Tub"), self.tub)
        self.add_row("task", say("Belongs to the task"), self.task)
        self.add_row("supply", say("For the shelf as"), self.supply)
        self.add_row("quantity_milli", say("Quantity"), self.quantity, read=self._read_quantity)
        self._grid.addWidget(self.save, 3, 12, Qt.AlignmentFlag.AlignTop)
        self.tub.currentIndexChanged.connect(self._offer_tasks)
        self.supply.currentIndexChanged.connect(self._follow_supply)
        self.what.editingFinished.connect(self._recall)

    @override
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Look at a field when it is left, unless nothing is being written down."""
        idle = self.what.is_blank and self.amount.is_blank
        if idle and event.type() is QEvent.Type.FocusOut:
            return QWidget.eventFilter(self, watched, event)
        return super().eventFilter(watched, event)

    @override
    def _lay(self, key: str, words: QLabel, cell: QVBoxLayout) -> None:
        row, column, width = _PLACES[key]
        self._grid.addWidget(words, row * 2, column, 1, width)
        self._grid.addLayout(cell, row * 2 + 1, column, 1, width, Qt.AlignmentFlag.AlignTop)

    @Slot()
    def _hand_in(self) -> None:
        if self.check():
            self.submitted.emit(None)

    @Slot()
    def _offer_tasks(self) -> None:
        if self._choices is None:
            return
        tub = self.tub.currentData()
        tasks = [t for t in self._choices.tasks if tub is None or t.tub == tub]
        self.task.fill([(self._context.say("none"), None), *((t.title, t.id) for t in tasks)])

    @Slot()
    def _follow_supply(self) -> None:
        supply = self._supply()
        self.quantity.setEnabled(supply is not None)
        self.quantity.setPlaceholderText("" if supply is None else supply.unit)
        self.category.setEnabled(supply is None)
        if supply is None:
            self.quantity.clear()
            return
        self.category.choose(supply.category.value)
        if self.what.is_blank:
            self.what.setText(supply.name)

    @Slot()
    def _recall(self) -> None:
        known = None if self._choices is None else self._choices.recent.get(self.what.text())
        if known is not None and self._supply() is None:
            self.category.choose(known.value)

    def _supply(self) -> Supply | None:
        chosen = self.supply.currentData()
        offered = () if self._choices is None else self._choices.supplies
        return next((s for s in offered if s.id == chosen), None)

    def _read_quantity(self) -> Decimal | None:
        self.quantity.required = self._supply() is not None
        return self.quantity.number()
