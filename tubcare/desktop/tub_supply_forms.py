"""What can be written down about a supply: a stock-take, what was used or expired."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox
from typing_extensions import override

from tubcare.desktop.entry import DateEntry, NumberEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.tub_part import EntryBox
from tubcare.errors import InputError
from tubcare.services.supplies import (
    count_stock,
    throw_away,
    use_up,
)
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
        self.form.submitted.connect(self.press)

    def show_supply(self, supply: Supply | None, today: date) -> None:
        """Take the supply that the entry is about."""
        _ = today
        self.supply = supply
        self.setEnabled(supply is not None)
        self.action.setEnabled(supply is not None)

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
        action.triggered.connect(self.write_down)
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
        action.triggered.connect(self.write_down)
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
