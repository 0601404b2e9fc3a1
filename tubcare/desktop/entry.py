"""Entry fields that understand what people type: text, numbers, money, dates, lengths of time.

Each has `read`, which returns the value or raises `InputError`, and `fill`. Once left, a field
shows what it understood; what it did not understand stays as it was typed.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QLineEdit
from typing_extensions import override

from tubcare.errors import InputError, OutOfRangeError
from tubcare.words.dates import clock_time, minutes, short_date, weekday_date
from tubcare.words.dates_typed import parse_clock_time, parse_date, parse_minutes
from tubcare.words.money import amount_to_edit, parse_payment
from tubcare.words.numbers import parse_number, plain_number
from tubcare.words.quantities import parse_quantity, unit_symbol

if TYPE_CHECKING:
    from datetime import date, time
    from decimal import Decimal

    from PySide6.QtGui import QKeyEvent

    from tubcare.desktop.keeper import Voice
    from tubcare.words.quantities import Unit


class TextEntry(QLineEdit):
    """One line of text."""

    def __init__(self, field: str, voice: Voice, *, required: bool = False) -> None:
        super().__init__()
        self.field = field
        self.voice = voice
        self.required = required
        self.editingFinished.connect(self._tidy)

    @property
    def is_blank(self) -> bool:
        """Return whether nothing was typed."""
        return not self.text().strip()

    def read(self) -> str:
        """Return the text without blanks around it.

        Raises
        ------
        InputError
            When it is empty but required.
        """
        if self.required and self.is_blank:
            raise self.nothing_there()
        return self.text().strip()

    def nothing_there(self) -> InputError:
        """Return what to raise where the field is empty and must not be."""
        return InputError(self.field, self.voice.speech.say("write something here"))

    @Slot()
    def _tidy(self) -> None:
        if self.is_blank:
            return
        try:
            understood = self.understood()
        except (InputError, OutOfRangeError):
            return
        if understood != self.text():
            self.setText(understood)

    def understood(self) -> str:
        """Return what was understood as the field would show it; may raise like `read`."""
        return self.text()


class NumberEntry(TextEntry):
    """A number with the locale's signs, as people write it."""

    def __init__(
        self, field: str, voice: Voice, *, required: bool = False, decimals: int | None = None
    ) -> None:
        super().__init__(field, voice, required=required)
        self._decimals = decimals

    def number(self) -> Decimal | None:
        """Return the number, None for an empty field; raises `InputError`."""
        self.read()
        if self.is_blank:
            return None
        return parse_number(
            self.voice.speech, self.field, self.text(), max_decimals=self._decimals
        )

    def number_there(self) -> Decimal:
        """Return the number; raises `InputError`, for an empty field too."""
        number = self.number()
        if number is None:
            raise self.nothing_there()
        return number

    def fill(self, value: float | Decimal | None) -> None:
        """Show a number."""
        self.setText("" if value is None else plain_number(self.voice.speech, value))


class QuantityEntry(TextEntry):
    """A quantity in the units that the person uses; read in the program's own unit."""

    def __init__(self, field: str, voice: Voice, unit: Unit, *, required: bool = False) -> None:
        super().__init__(field, voice, required=required)
        self.unit = unit
        self.setPlaceholderText(unit_symbol(voice.speech, unit))

    def quantity(self) -> float | None:
        """Return the value in the unit of the field, None when empty; raises `InputError`."""
        self.read()
        if self.is_blank:
            return None
        return parse_quantity(self.voice.speech, self.field, self.text(), self.unit)


class MoneyEntry(TextEntry):
    """Something paid, in the logbook's currency."""

    def minor(self) -> int | None:
        """Return the amount in minor units, None for an empty field; raises `InputError`."""
        self.read()
        if self.is_blank:
            return None
        return parse_payment(self.voice.speech, self.field, self.text())

    def fill(self, minor: int | None) -> None:
        """Show an amount."""
        self.setText("" if minor is None else amount_to_edit(self.voice.speech, minor))

    @override
    def understood(self) -> str:
        """Return the amount with all digits of its currency."""
        minor = self.minor()
        return "" if minor is None else amount_to_edit(self.voice.speech, minor)


class DateEntry(TextEntry):
    """A date: typed as people write it, "today" too, or moved day by day with the arrow keys."""

    def __init__(self, field: str, voice: Voice, today: date, *, required: bool = True) -> None:
        super().__init__(field, voice, required=required)
        self._today = today
        self.setToolTip(voice.speech.say("Arrow keys move by a day, page keys by a week"))
        self.textChanged.connect(self._describe)
        self.fill(today if required else None)

    def set_today(self, today: date) -> None:
        """Count from that day; a required field that nobody touched shows it."""
        untouched = self.required and not self.isModified()
        self._today = today
        if untouched:
            self.fill(today)

    def day(self) -> date | None:
        """Return the date, None for an empty field; raises `InputError`."""
        self.read()
        if self.is_blank:
            return None
        return parse_date(self.voice.speech, self.field, self.text(), self._today)

    def day_there(self) -> date:
        """Return the date; raises `InputError`, for an empty field too."""
        day = self.day()
        if day is None:
            raise self.nothing_there()
        return day

    def move_to(self, today: date) -> None:
        """Take another day for today, and show it unless the person chose one."""
        untouched = self.text() == short_date(self.voice.speech, self._today)
        self._today = today
        if untouched:
            self.fill(today)

    def fill(self, day: date | None) -> None:
        """Show a date."""
        self.setText("" if day is None else short_date(self.voice.speech, day))

    @override
    def understood(self) -> str:
        """Return the date in numbers."""
        day = self.day()
        return "" if day is None else short_date(self.voice.speech, day)

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move by days and weeks, where the field holds a date."""
        steps = {
            Qt.Key.Key_Up: 1,
            Qt.Key.Key_Down: -1,
            Qt.Key.Key_PageUp: 7,
            Qt.Key.Key_PageDown: -7,
        }
        step = steps.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        try:
            self.fill((self.day() or self._today) + timedelta(days=step))
        except (InputError, OverflowError):
            self.fill(self._today)

    @Slot()
    def _describe(self) -> None:
        try:
            day = self.day()
        except InputError:
            day = None
        self.setAccessibleDescription("" if day is None else weekday_date(self.voice.speech, day))


class TimeEntry(TextEntry):
    """A time of day."""

    def time_of_day(self) -> time:
        """Return the time of day; raises `InputError`, for an empty field too."""
        return parse_clock_time(self.voice.speech, self.field, self.text())

    def fill(self, moment: time) -> None:
        """Show a time of day."""
        self.setText(clock_time(self.voice.speech, moment))

    @override
    def understood(self) -> str:
        """Return the time as the locale writes it."""
        return clock_time(self.voice.speech, self.time_of_day())


class MinutesEntry(TextEntry):
    """A length of time: 12, 12 min, 1:30."""

    def minutes(self) -> int | None:
        """Return whole minutes, None for an empty field; raises `InputError`."""
        self.read()
        if self.is_blank:
            return None
        return parse_minutes(self.voice.speech, self.field, self.text())

    def fill(self, count: int | None) -> None:
        """Show a length of time."""
        self.setText("" if count is None else minutes(self.voice.speech, count))

    @override
    def understood(self) -> str:
        """Return the length in words."""
        count = self.minutes()
        return "" if count is None else minutes(self.voice.speech, count)
