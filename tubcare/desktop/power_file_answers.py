"""What a person answers about a weather file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox

from tubcare.desktop.forms import Form
from tubcare.energy.table_text import read_table
from tubcare.energy.weather_columns import DateOrder, Quantity, Unit
from tubcare.energy.weather_text import Answers
from tubcare.errors import TubcareError
from tubcare.services.power_weather import FileClock

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context


class AnswersForm(Form):
    """Unit, order of dates, clock, and the column of the temperature."""

    changed = Signal(object)
    """Carries nothing (None): something else was answered."""

    def __init__(self, context: Context, takes: str) -> None:
        super().__init__(context.speech)
        say = self._say = context.say
        self._takes = takes
        self.unit = _combo(
            (say("As the file says"), None),
            (say("°C"), Unit.CELSIUS),
            (say("°F"), Unit.FAHRENHEIT),
        )
        self.order = _combo(
            (say("As the file says"), None),
            (say("Day first"), DateOrder.DAY_FIRST),
            (say("Month first"), DateOrder.MONTH_FIRST),
            (say("Year first"), DateOrder.YEAR_FIRST),
        )
        self.clock = _combo(
            (say("The tub's own, with summer time"), FileClock.PLACE),
            (say("The tub's own, without summer time"), FileClock.STANDARD),
            (say("UTC"), FileClock.UTC),
        )
        self.column = QComboBox()
        self.add_row("unit", say("Temperatures in"), self.unit)
        self.add_row("date_order", say("Dates"), self.order)
        self.add_row("clock", say("Clock of the file"), self.clock)
        self.add_row("column", say("Temperature in column"), self.column)
        for box in (self.unit, self.order, self.clock, self.column):
            box.activated.connect(self._tell_changed)

    def told(self) -> Answers:
        """Return the answers; what is left as the file says is not among them."""
        # Qt hands members of a set of words back as plain words.
        name, unit, order = (box.currentData() for box in (self.column, self.unit, self.order))
        return Answers(
            columns=None if name is None else {Quantity(self._takes): name},
            unit=None if unit is None else Unit(unit),
            date_order=None if order is None else DateOrder(order),
        )

    def file_clock(self) -> FileClock:
        """Return which clock the file is told by."""
        return FileClock(self.clock.currentData())

    def offer_columns(self, text: str) -> None:
        """Offer the columns of a new file, and forget what was answered about the last one."""
        self.column.clear()
        self.column.addItem(self._say("As the file says"), None)
        try:
            names = read_table(text).names
        except TubcareError:
            names = ()
        for name in names:
            self.column.addItem(name, name)

    @Slot()
    def _tell_changed(self) -> None:
        self.changed.emit(None)


def _combo(*choices: tuple[str, object]) -> QComboBox:
    box = QComboBox()
    for name, value in choices:
        box.addItem(name, value)
    return box
