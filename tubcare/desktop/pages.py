"""The page that the window shows until the logbook is open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.theme import worded

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

    from tubcare.words.locale import Speech


class OpeningPage(QWidget):
    """Stands in the window until the logbook is open."""

    painted = Signal(object)
    """Carries nothing (None); sent when the page was first on the screen."""

    def __init__(self, speech: Speech) -> None:
        super().__init__()
        self._was_painted = False
        label = worded(QLabel(speech.say("Opening the logbook…")), "muted")
        row = QHBoxLayout()
        row.addStretch()
        row.addWidget(label)
        row.addStretch()
        rows = QVBoxLayout(self)
        rows.addStretch()
        rows.addLayout(row)
        rows.addStretch()

    @override
    def paintEvent(self, event: QPaintEvent) -> None:
        """Tell once that the window is there."""
        super().paintEvent(event)
        if not self._was_painted:
            self._was_painted = True
            self.painted.emit(None)
