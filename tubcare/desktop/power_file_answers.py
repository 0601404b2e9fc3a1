"""What a person answers about a weather file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox

from tubcare.desktop.forms import Form
from tubcare.energy.table_text import read_table
from tubcare.energy.weather_columns import DateOrder, Quantity, Unit
from tubcare.energy.weather_text import Answers
from tubcare.energy.weather_units import SunUnit, WindUnit
from tubcare.errors import TubcareError
from tubcare.services.power_weather import FileClock

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context


class AnswersForm(Form):
    """Units, order of dates, clock, and the columns of date and temperature."""

    changed = Signal(object)
    """Carries nothing (None): something else was answered."""

    def __init__(self, context: Context, takes: str) -> None:
        super().__init__(context.speech)
        say = context.say
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
        self.wind = _combo(
            (say("As the file says"), None),
            (say("m/s"), WindUnit.M_S),
            (say("km/h"), WindUnit.KM_H),
            (say("miles an hour"), WindUnit.MPH),
            (say("knots"), WindUnit.KNOTS),
            (say("Leave the wind out"), WindUnit.LEAVE_OUT),
        )
        self.sun = _combo(
            (say("As the file says"), None),
            (say("W/m²"), SunUnit.W_M2),
            (say("Wh/m²"), SunUnit.WH_M2),
            (say("kWh/m²"), SunUnit.KWH_M2),
            (say("kJ/m²"), SunUnit.KJ_M2),
            (say("MJ/m²"), SunUnit.MJ_M2),
            (say("J/cm²"), SunUnit.J_CM2),
            (say("Leave the sun out"), SunUnit.LEAVE_OUT),
        )
        self.column, self.stamp = QComboBox(), QComboBox()
        self.add_row("unit", say("Temperatures in"), self.unit)
        self.add_row("date_order", say("Dates"), self.order)
        self.add_row("clock", say("Clock of the file"), self.clock)
        self.add_row("stamp", say("Date in column"), self.stamp)
        self.add_row("column", say("Temperature in column"), self.column)
        if takes == Quantity.AIR:
            self.add_row("wind_unit", say("Wind in"), self.wind)
            self.add_row("sun_unit", say("Sun in"), self.sun)
        names = (self.stamp, self.column)
        for box in (self.unit, self.order, self.clock, *names, self.wind, self.sun):
            box.activated.connect(self._tell_changed)

    def told(self) -> Answers:
        """Return the answers; what is left as the file says is not among them."""
        # Qt hands members of a set of words back as plain words.
        boxes = (self.unit, self.order, self.wind, self.sun)
        unit, order, wind, sun = (box.currentData() for box in boxes)
        named = {
            Quantity.STAMP: self.stamp.currentData(),
            Quantity(self._takes): self.column.currentData(),
        }
        columns = {quantity: name for quantity, name in named.items() if name is not None}
        return Answers(
            columns=columns or None,
            unit=None if unit is None else Unit(unit),
            date_order=None if order is None else DateOrder(order),
            wind_unit=None if wind is None else WindUnit(wind),
            sun_unit=None if sun is None else SunUnit(sun),
        )

    def file_clock(self) -> FileClock:
        """Return which clock the file is told by."""
        return FileClock(self.clock.currentData())

    def offer_columns(self, text: str) -> None:
        """Offer the columns of a new file, and forget what was answered about the last one."""
        for box in (self.unit, self.order, self.wind, self.sun):
            box.setCurrentIndex(0)
        try:
            names = read_table(text).names
        except TubcareError:
            names = ()
        for box in (self.stamp, self.column):
            box.clear()
            box.addItem(self._speech.say("As the file says"), None)
            for name in names:
                box.addItem(name, name)

    @Slot()
    def _tell_changed(self) -> None:
        self.changed.emit(None)


def _combo(*choices: tuple[str, object]) -> QComboBox:
    box = QComboBox()
    for name, value in choices:
        box.addItem(name, value)
    return box
