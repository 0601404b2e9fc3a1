"""A box to choose one member of a closed set, in the person's words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QComboBox

from tubcare.words.terms import word

if TYPE_CHECKING:
    from enum import StrEnum

    from tubcare.desktop.screen import Context


_LEAST_LETTERS = 10


class WordChoice(QComboBox):
    """One of a closed set, in the person's words."""

    def __init__(self, context: Context, members: type[StrEnum], chosen: StrEnum) -> None:
        super().__init__()
        # Long words widen the list that opens, not the form around the box.
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(_LEAST_LETTERS)
        for member in members:
            self.addItem(word(context.speech, member), member.value)
        self.choose(chosen)

    def choose(self, member: StrEnum) -> None:
        """Show that member."""
        self.setCurrentIndex(self.findData(member.value))

    def value(self) -> str:
        """Return the value of the member that is shown."""
        return str(self.currentData())
