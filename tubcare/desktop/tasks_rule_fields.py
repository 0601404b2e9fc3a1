"""What the fields of every kind of rule have in common."""

from __future__ import annotations

from abc import abstractmethod
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from tubcare.desktop.entry import DateEntry, NumberEntry
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from tubcare.desktop.screen import Context

NUMBER_LETTERS = 8
DATE_LETTERS = 14


class RuleFields(QWidget):
    """The fields of one kind of rule, in a row."""

    changed = Signal(object)
    """Carries nothing (None)."""
    stops: list[QWidget]
    """Where the keyboard stops, in order."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.context = context
        self.stops = []
        self.row = QHBoxLayout(self)
        self.row.setContentsMargins(0, 0, 0, 0)

    @abstractmethod  # held by the type checker: Qt has a metaclass of its own
    def read(self) -> dict[str, object]:
        """Return the rule as plain data; raises `InputError` for what cannot be used."""

    @abstractmethod  # held by the type checker: Qt has a metaclass of its own
    def fill(self, data: Mapping[str, object]) -> None:
        """Show a rule of this kind."""

    def number(self, field: str, name: str, *, decimals: int = 0) -> NumberEntry:
        """Return a new short field for a number."""
        entry = NumberEntry(field, self.context.voice, required=True, decimals=decimals)
        entry.setAccessibleName(name)
        entry.setFixedWidth(NUMBER_LETTERS * self.fontMetrics().averageCharWidth() + 20)
        entry.textChanged.connect(self.tell)
        return entry

    def date(self, field: str, name: str, today: date) -> DateEntry:
        """Return a new short field for a date."""
        entry = DateEntry(field, self.context.voice, today)
        entry.setAccessibleName(name)
        entry.setFixedWidth(DATE_LETTERS * self.fontMetrics().averageCharWidth() + 20)
        entry.textChanged.connect(self.tell)
        return entry

    def put(self, *parts: QWidget | str) -> None:
        """Put fields and words beside each other."""
        for part in parts:
            self.row.addWidget(QLabel(part) if isinstance(part, str) else part)
        self.row.addStretch()
        self.stops = [part for part in parts if isinstance(part, QWidget) and part.focusPolicy()]

    @Slot()
    def tell(self) -> None:
        """Say that something was changed."""
        self.changed.emit(None)


def whole(entry: NumberEntry) -> int:
    """Return a whole number; raises `InputError`, for an empty field too."""
    number = entry.number()
    if number is None:
        raise InputError(entry.field, entry.voice.speech.say("write a number"))
    return int(number)
