"""What lists of rows being edited have in common."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from tubcare.desktop.buttons import first_stop, tab_through

if TYPE_CHECKING:
    from collections.abc import Iterable


class RowBox(QWidget):
    """Rows below each other with a button that adds one; Tab goes through them in their order."""

    def __init__(self, add_text: str) -> None:
        super().__init__()
        self._list = QVBoxLayout()
        self._first_stop = first_stop(self)
        self.add_button = QPushButton(add_text)
        below = QHBoxLayout()
        below.addWidget(self.add_button)
        below.addStretch()
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addLayout(self._list)
        box.addLayout(below)

    def put_row(self, row: QWidget, at: int = -1) -> None:
        """Put a row at a place, last unless told."""
        self._list.insertWidget(at, row)

    def take_row(self, row: QWidget) -> None:
        """Take a row away for good."""
        self._list.removeWidget(row)
        row.hide()
        row.deleteLater()

    def order(self, stops: Iterable[QWidget]) -> None:
        """Let Tab go through these, before the button below them."""
        tab_through(self._first_stop, stops)
