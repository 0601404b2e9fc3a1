"""What can be written down about a supply: a stock-take, what was used or expired, its marks."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox
from typing_extensions import override

from tubcare.desktop.entry import DateEntry, NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.tub_part import EntryBox
from tubcare.errors import InputError
from tubcare.ledger.categories import SpendCategory
from tubcare.services.supplies import change_supply, count_stock, throw_away, use_up
from tubcare.words.money_terms import money_word
from tubcare.words.numbers import number

if TYPE_CHECKING:
    from datetime import date

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.services.supplies import Supply

_EXPIRED, _USED = "expired", "used"


class OfSupply(EntryBox):
    """An entry box about one supply."""

    written = Signal(object)
    """Carries the text (str) that says what was written down."""

    def __init__(self, context: Context, action: QAction) -> None:
        super().__init__(context, Form(context.speech), action)
        self.context = context
        self.action = action
        self.supply: Supply | None = None
        action.triggered.connect(self.write_down)
        self.form.submitted.connect(self._submit)

    def show_supply(self, supply: Supply | None, today: date) -> None:
        """Take the supply that the entry is about."""
        _ = today
        self.supply = supply
        self.setEnabled(supply is not None)
        self.action.setEnabled(supply is not None)

    @Slot()
    def write_down(self) -> None:
        """Write down what stands in the form, or go to what cannot be used."""
        raise NotImplementedError

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.write_down()

    def amount(self, entry: NumberEntry) -> int | None:
        """Return the thousandths that stand in a field; tell when it is empty."""
        value = entry.number()
        if value is None:
            self.tell(InputError(entry.field, self.context.say("write how much")))
            return None
        return round(value * 1000)


class CountBox(OfSupply):
    """What a stock-take found."""

    def __init__(self, context: Context, action: QAction) -> None:
        super().__init__(context, action)
        say, voice = context.say, context.voice
        self.counted = NumberEntry("counted_milli", voice, decimals=3)
        self.day = DateEntry("date", voice, context.desk.today("UTC"))
        self.form.add_row(
            "counted_milli",
            say("There is"),
            self.counted,
            read=self.counted.number,
            hint=say("What lies there at the end of that day; the difference is booked"),
        )
        self.form.add_row("date", say("Day"), self.day, read=self.day.day)

    @override
    def show_supply(self, supply: Supply | None, today: date) -> None:
        """Show in which unit the supply is counted."""
        super().show_supply(supply, today)
        self.day.move_to(today)
        self.counted.setPlaceholderText("" if supply is None else supply.unit)

    @override
    @Slot()
    def write_down(self) -> None:
        """Write the count down."""
        supply, day = self.supply, self.day.day() if self.form.check() else None
        if supply is None or day is None:
            return
        counted = self.amount(self.counted)
        if counted is not None:
            self.write(
                partial(count_stock, self.context.desk, supply.id, counted_milli=counted, on=day),
                done=partial(self._written, supply),
                title=self.context.say("Writing a stock-take down"),
            )

    def _written(self, supply: Supply, missing_milli: int) -> None:
        say, speech = self.context.say, self.context.speech
        self.counted.clear()
        told = number(speech, abs(missing_milli) / 1000)
        if not missing_milli:
            text = say("Counted {what}: it is as written.", what=supply.name)
        elif missing_milli > 0:
            text = say(
                "Counted {what}: {amount} {unit} were missing.",
                what=supply.name,
                amount=told,
                unit=supply.unit,
            )
        else:
            text = say(
                "Counted {what}: {amount} {unit} more than written.",
                what=supply.name,
                amount=told,
                unit=supply.unit,
            )
        self.written.emit(text)


class UseBox(OfSupply):
    """What left the shelf outside any task."""

    def __init__(self, context: Context, action: QAction) -> None:
        super().__init__(context, action)
        say, voice = context.say, context.voice
        self.quantity = NumberEntry("quantity_milli", voice, decimals=3)
        self.kind = QComboBox()
        self.kind.addItem(say("used up"), _USED)
        self.kind.addItem(say("expired or thrown away"), _EXPIRED)
        self.day = DateEntry("date", voice, context.desk.today("UTC"))
        self.form.add_row(
            "quantity_milli", say("How much"), self.quantity, read=self.quantity.number
        )
        self.form.add_row("kind", say("What became of it"), self.kind)
        self.form.add_row("date", say("Day"), self.day, read=self.day.day)

    @override
    def show_supply(self, supply: Supply | None, today: date) -> None:
        """Show in which unit the supply is counted."""
        super().show_supply(supply, today)
        self.day.move_to(today)
        self.quantity.setPlaceholderText("" if supply is None else supply.unit)

    @override
    @Slot()
    def write_down(self) -> None:
        """Write down what left the shelf."""
        supply, day = self.supply, self.day.day() if self.form.check() else None
        if supply is None or day is None:
            return
        taken = self.amount(self.quantity)
        if taken is None:
            return
        call = use_up if self.kind.currentData() == _USED else throw_away
        self.write(
            partial(call, self.context.desk, supply.id, quantity_milli=taken, on=day),
            done=partial(self._written, supply, taken),
            title=self.context.say("Taking stock off the shelf"),
        )

    def _written(self, supply: Supply, taken: int, _nothing: None) -> None:
        self.quantity.clear()
        text = self.context.say(
            "Off the shelf: {amount} {unit} of {what}.",
            amount=number(self.context.speech, taken / 1000),
            unit=supply.unit,
            what=supply.name,
        )
        self.written.emit(text)


class SupplyBox(OfSupply):
    """The supply itself: name, unit, kind of cost, and when the shelf is called low."""

    def __init__(self, context: Context, action: QAction) -> None:
        super().__init__(context, action)
        say, voice = context.say, context.voice
        self.name = TextEntry("supply", voice, required=True)
        self.unit = TextEntry("unit", voice, required=True)
        self.kind = QComboBox()
        for category in SpendCategory:
            self.kind.addItem(money_word(context.speech, category), category.value)
        self.low = NumberEntry("low_milli", voice, decimals=3)
        self.form.add_row("supply", say("Name"), self.name, read=self.name.read)
        self.form.add_row("unit", say("Unit"), self.unit, read=self.unit.read)
        self.form.add_row("category", say("Kind of cost"), self.kind)
        self.form.add_row(
            "low_milli",
            say("Low below"),
            self.low,
            read=self.low.number,
            hint=say("May stay empty; the plan's own outlook is told in any case"),
        )
        self._shown: Supply | None = None

    @override
    def show_supply(self, supply: Supply | None, today: date) -> None:
        """Show the supply, unless it is the one that is being changed."""
        super().show_supply(supply, today)
        if supply is None or (self._shown is not None and _same(self._shown, supply)):
            return
        self._shown = supply
        self.name.setText(supply.name)
        self.unit.setText(supply.unit)
        self.kind.setCurrentIndex(self.kind.findData(supply.category.value))
        self.low.fill(None if supply.low_milli is None else supply.low_milli / 1000)

    @override
    @Slot()
    def write_down(self) -> None:
        """Keep the supply as it stands in the form."""
        if self.supply is None or not self.form.check():
            return
        low = self.low.number()
        changed = replace(
            self.supply,
            name=self.name.read(),
            unit=self.unit.read(),
            category=SpendCategory(self.kind.currentData()),
            low_milli=None if low is None else round(low * 1000),
        )
        self.write(
            partial(change_supply, self.context.desk, changed),
            done=partial(self._written, changed.name),
            title=self.context.say("Keeping a supply"),
        )

    def _written(self, name: str, _nothing: None) -> None:
        self.written.emit(self.context.say("{what} is kept.", what=name))


def _same(one: Supply, other: Supply) -> bool:
    parts = ("id", "name", "unit", "category", "low_milli")
    return all(getattr(one, part) == getattr(other, part) for part in parts)
