"""Fields that keep what they were filled with, as long as nobody types into them."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from typing_extensions import override

from tubcare.desktop.entry import QuantityEntry, TextEntry
from tubcare.errors import InputError
from tubcare.values import MonthDay
from tubcare.words.dates import day_and_month
from tubcare.words.dates_typed import parse_date
from tubcare.words.quantities import quantity_figure

if TYPE_CHECKING:
    from tubcare.desktop.keeper import Voice
    from tubcare.words.quantities import Unit

_LEAP_YEAR = date(2028, 7, 1)


class KeptQuantity(QuantityEntry):
    """A quantity that is not rounded by being shown: left alone, it reads as it was filled."""

    def __init__(self, field: str, voice: Voice, unit: Unit, *, required: bool = False) -> None:
        super().__init__(field, voice, unit, required=required)
        self._kept: float | None = None
        self._shown = ""

    def fill(self, value: float | None) -> None:
        """Show a value that stands in the unit of the field."""
        self._kept = value
        shown = "" if value is None else quantity_figure(self.voice.speech, value, self.unit)
        self._shown = shown
        self.setText(shown)

    @override
    def quantity(self) -> float | None:
        """Return the value in the unit of the field, None when empty; raises `InputError`."""
        if self._kept is not None and self.text() == self._shown:
            return self._kept
        return super().quantity()


class MonthDayEntry(TextEntry):
    """A day of the year, without a year: 15 April, 15.4."""

    def __init__(self, field: str, voice: Voice) -> None:
        super().__init__(field, voice, required=True)

    def fill(self, day: MonthDay) -> None:
        """Show a day of the year."""
        self.setText(day_and_month(self.voice.speech, _in_leap_year(day), _LEAP_YEAR))

    def month_day(self) -> MonthDay:
        """Return the day of the year; raises `InputError`."""
        self.read()
        found = parse_date(self.voice.speech, self.field, self.text(), _LEAP_YEAR)
        if found.year not in {_LEAP_YEAR.year - 1, _LEAP_YEAR.year, _LEAP_YEAR.year + 1}:
            raise InputError(self.field, self.voice.speech.say("write day and month alone"))
        return MonthDay(month=found.month, day=found.day)

    @override
    def understood(self) -> str:
        """Return the day as the locale writes it."""
        return day_and_month(self.voice.speech, _in_leap_year(self.month_day()), _LEAP_YEAR)


def _in_leap_year(day: MonthDay) -> date:
    return date(_LEAP_YEAR.year, day.month, day.day)
