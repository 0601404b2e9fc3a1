"""When something was done: left empty it was now, else a day and perhaps a time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from tubcare.desktop.entry import DateEntry, TimeEntry
from tubcare.desktop.strip import announce
from tubcare.desktop.theme import worded
from tubcare.errors import InputError
from tubcare.services.fields import not_after
from tubcare.words.sentences.reasons import reason_sentence

if TYPE_CHECKING:
    from datetime import date, time

    from tubcare.desktop.screen import Context

_DAY_LETTERS = 18
_TIME_LETTERS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """A local day and time; None for now, and for no time in particular."""

    on: date | None = None
    at: time | None = None


class WhenEntry(QWidget):
    """A day and a time in one line, with what is wrong below them."""

    def __init__(self, context: Context, label: str) -> None:
        super().__init__()
        say = context.say
        self._speech = context.speech
        self._today = context.desk.today("UTC")
        self.day = DateEntry("date", context.voice, self._today, required=False)
        self.time = TimeEntry("time of day", context.voice)
        self.day.setPlaceholderText(say("now"))
        self.day.setAccessibleName(label)
        self.time.setPlaceholderText(say("time"))
        self.time.setAccessibleName(say("Time of day"))
        letter = self.fontMetrics().averageCharWidth()
        self.day.setMaximumWidth(_DAY_LETTERS * letter)
        self.time.setMaximumWidth(_TIME_LETTERS * letter)
        self.told = worded(QLabel(), "error")
        self.told.setWordWrap(True)
        self.told.hide()
        words = QLabel(label)
        words.setBuddy(self.day)
        line = QHBoxLayout()
        line.setSpacing(8)
        for widget in (words, self.day, self.time):
            line.addWidget(widget)
        line.addStretch()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(2)
        rows.addLayout(line)
        rows.addWidget(self.told)

    def move_to(self, today: date) -> None:
        """Take another day for today."""
        self._today = today
        self.day.move_to(today)

    def read(self) -> When | None:
        """Return when it was; None, having told why, when it cannot be understood."""
        self.tell("")
        try:
            on = self.day.day()
            at = None if self.time.is_blank else self.time.time_of_day()
            if on is None:
                return When(on=None if at is None else self._today, at=at)
            return When(on=not_after("date", on, self._today), at=at)
        except InputError as error:
            self.refuse(error)
            faulty = self.day if error.field == self.day.field else self.time
            faulty.setFocus()
            return None

    def refuse(self, error: InputError) -> None:
        """Tell why the moment cannot be taken."""
        self.tell(reason_sentence(self._speech, error.reason))

    def tell(self, text: str) -> None:
        """Tell what is wrong, nothing when empty."""
        self.told.setText(text)
        self.told.setVisible(bool(text))
        if text:
            announce(self.told, text)

    def clear(self) -> None:
        """Stand for now again."""
        self.day.clear()
        self.time.clear()
        self.tell("")
