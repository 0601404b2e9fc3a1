"""Boxes to choose one thing from a list that the logbook holds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QComboBox

if TYPE_CHECKING:
    from collections.abc import Iterable

_LEAST_LETTERS = 10


class ListBox(QComboBox):
    """A box of names with a value behind each; refilling it keeps what was chosen."""

    def __init__(self) -> None:
        super().__init__()
        # Long names widen the list that opens, not the form around the box.
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(_LEAST_LETTERS)

    def fill(self, choices: Iterable[tuple[str, object]]) -> None:
        """Offer these names and values in place of what was offered."""
        kept = self.currentData()
        blocked = self.blockSignals(True)  # noqa: FBT003  Qt's own way
        self.clear()
        for name, value in choices:
            self.addItem(name, value)
        self.setCurrentIndex(max(0, self.findData(kept)))
        self.blockSignals(blocked)
        self._widen_list()

    def choose(self, value: object) -> None:
        """Choose the name with that value, the first one when there is none."""
        self.setCurrentIndex(max(0, self.findData(value)))

    def _widen_list(self) -> None:
        letters = self.fontMetrics()
        widest = max(
            (letters.horizontalAdvance(self.itemText(at)) for at in range(self.count())), default=0
        )
        self.view().setMinimumWidth(widest + 40)
