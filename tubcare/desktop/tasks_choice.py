"""A choice among a closed set, in the person's words, that is read as one of its members."""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, TypeVar

from PySide6.QtWidgets import QComboBox

if TYPE_CHECKING:
    from collections.abc import Iterable

T = TypeVar("T")


class Pick(QComboBox, Generic[T]):
    """Offers values under their words. Qt keeps only texts and numbers, so they are kept here."""

    def __init__(self, name: str, choices: Iterable[tuple[T, str]]) -> None:
        super().__init__()
        self._values: list[T] = []
        self.setAccessibleName(name)
        for value, text in choices:
            self._values.append(value)
            self.addItem(text)

    def chosen(self) -> T:
        """Return the value that is chosen."""
        return self._values[max(0, self.currentIndex())]

    def offer(self, value: T, text: str) -> None:
        """Offer one more value, unless it is there."""
        if value not in self._values:
            self._values.append(value)
            self.addItem(text)

    def choose(self, value: T) -> None:
        """Choose a value; one that is not offered chooses the first."""
        at = self._values.index(value) if value in self._values else 0
        self.setCurrentIndex(at)
