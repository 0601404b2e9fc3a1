"""The forms beside the ledger that write down something new: for the shelf, for the build."""

from __future__ import annotations

from abc import abstractmethod
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QComboBox, QCompleter
from typing_extensions import override

from tubcare.desktop.choices import ListBox
from tubcare.desktop.entry import DateEntry, MoneyEntry, NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.ledger_words import milli
from tubcare.desktop.ledger_work import write_build, write_stock
from tubcare.errors import InputError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.money import Belongs, BuildCost, StockPurchase
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from tubcare.desktop.ledger_work import Written
    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.ledger_choices import LedgerChoices

DEFAULT_LIFE_MONTHS = 96


class LedgerForm(Form):
    """A form that writes one thing down; `job` hands out what does so."""

    def __init__(self, context: Context, title: str) -> None:
        super().__init__(context.speech)
        self.context = context
        self.title = title
        # Beside a list there is no room for labels of even width.
        self._grid.setColumnMinimumWidth(0, 0)

    @abstractmethod  # held by the type checker: Qt has a metaclass of its own
    def job(self) -> Callable[[Desk], Written]:
        """Return what writes it down; raises `InputError` for what cannot be used."""

    def said(self, title: str, amount: str) -> str:
        """Return what the strip says when it is done."""
        return self.context.say("Written down: {what}, {amount}.", what=title, amount=amount)

    def add_day(self, label: str, today: date, day: date | None = None) -> DateEntry:
        """Add the field of the day, which must be there."""
        entry = DateEntry("date", self.context.voice, today)
        entry.fill(day or today)
        self.add_row("date", label, entry, read=entry.day)
        return entry

    def add_money(self, key: str, label: str, *, hint: str = "") -> MoneyEntry:
        """Add a field of money; the one named “minor” must be there."""
        entry = MoneyEntry(key, self.context.voice, required=key == "minor")
        self.add_row(key, label, entry, read=entry.minor, hint=hint)
        return entry

    def add_tubs(self, choices: LedgerChoices) -> ListBox:
        """Add the choice of a tub; the only one is chosen already."""
        box = ListBox()
        none = (self.context.say("none"), None)
        box.fill([none, *((name, tub) for tub, name in choices.tubs.items())])
        if len(choices.tubs) == 1:
            box.setCurrentIndex(1)
        self.add_row("tub", self.context.say("Tub"), box)
        return box

    def add_categories(self, chosen: SpendCategory) -> ListBox:
        """Add the choice of the kind of spending."""
        box = ListBox()
        box.fill((money_word(self.context.speech, c), c.value) for c in SpendCategory)
        box.choose(chosen.value)
        self.add_row("category", self.context.say("Kind"), box)
        return box


class PurchaseForm(LedgerForm):
    """Something bought for the shelf: supply, quantity, price, how long it keeps."""

    def __init__(self, context: Context, choices: LedgerChoices) -> None:
        say, voice = context.say, context.voice
        super().__init__(context, say("Buy for the shelf"))
        self._supplies = {s.name.casefold(): s for s in choices.supplies}
        self.supply = QComboBox()
        self.supply.setEditable(True)
        self.supply.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.supply.setMinimumContentsLength(10)
        self.supply.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.supply.addItems([s.name for s in choices.supplies])
        self.supply.setCurrentIndex(-1)
        line = self.supply.lineEdit()
        if line is not None:
            line.setAccessibleName(say("Supply"))
        completer = self.supply.completer()
        if isinstance(completer, QCompleter):
            completer.setFilterMode(Qt.MatchFlag.MatchContains)
        self.unit = TextEntry("unit", voice, required=True)
        self.quantity = NumberEntry("quantity_milli", voice, required=True, decimals=3)
        self.payee = TextEntry("payee", voice)
        self.add_row(
            "supply",
            say("Supply"),
            self.supply,
            read=self._read_supply,
            hint=say("One on the list, or a new name"),
        )
        self.add_row("quantity_milli", say("Quantity"), self.quantity, read=self.quantity.number)
        self.add_row(
            "unit",
            say("Unit"),
            self.unit,
            read=self.unit.read,
            hint=say("What is counted: piece, g, ml, strip"),
        )
        self.amount = self.add_money("minor", say("Paid in all"))
        self.day = self.add_day(say("Day"), choices.today)
        self.category = self.add_categories(SpendCategory.CHEMICALS)
        self.expires = DateEntry("expires_on", voice, choices.today, required=False)
        self.add_row(
            "expires_on",
            say("Keeps until"),
            self.expires,
            read=self.expires.day,
            hint=say("May stay empty"),
        )
        self.add_row("payee", say("Bought from"), self.payee, read=self.payee.read)
        self.tub = self.add_tubs(choices)
        self.tub.setCurrentIndex(0)
        self.supply.currentTextChanged.connect(self._follow_supply)

    @override
    def job(self) -> Callable[[Desk], Written]:
        """Return what writes the purchase down."""
        purchase = StockPurchase(
            on=self.day.day_there(),
            supply=self._read_supply(),
            unit=self.unit.read(),
            category=SpendCategory(self.category.currentData()),
            quantity_milli=milli(self.quantity.number_there()),
            minor=self.amount.minor() or 0,
            payee=self.payee.read(),
            expires_on=self.expires.day(),
            belongs=Belongs(tub=self.tub.currentData()),
        )
        return partial(write_stock, purchase=purchase)

    def _read_supply(self) -> str:
        name = self.supply.currentText().strip()
        if not name:
            raise InputError("supply", self.context.say("write what was bought"))
        return name

    @Slot(str)
    def _follow_supply(self, text: str) -> None:
        known = self._supplies.get(text.strip().casefold())
        self.unit.setReadOnly(known is not None)
        self.category.setEnabled(known is None)
        if known is not None:
            self.unit.setText(known.unit)
            self.category.choose(known.category.value)


class BuildForm(LedgerForm):
    """Part of the tub itself, paid once and written off by month."""

    def __init__(self, context: Context, choices: LedgerChoices) -> None:
        say, voice = context.say, context.voice
        super().__init__(context, say("Cost of the build"))
        self.what = TextEntry("note", voice, required=True)
        self.months = NumberEntry("months", voice, required=True, decimals=0)
        self.months.fill(DEFAULT_LIFE_MONTHS)
        self.add_row("note", say("What"), self.what, read=self.what.read)
        self.amount = self.add_money("minor", say("Paid"))
        self.day = self.add_day(say("Day"), choices.today)
        self.add_row(
            "months",
            say("Months of use"),
            self.months,
            read=self.months.number,
            hint=say("The cost is spread over them; 96 months are 8 years"),
        )
        self.salvage = self.add_money(
            "salvage_minor",
            say("Worth at the end"),
            hint=say("What it can still be sold for then; may stay empty"),
        )
        self.tub = self.add_tubs(choices)

    @override
    def job(self) -> Callable[[Desk], Written]:
        """Return what writes the cost down."""
        build = BuildCost(
            on=self.day.day_there(),
            minor=self.amount.minor() or 0,
            months=int(self.months.number() or 0),
            salvage_minor=self.salvage.minor() or 0,
            note=self.what.read(),
            belongs=Belongs(tub=self.tub.currentData()),
        )
        return partial(write_build, build=build)
