"""Shows how far long work has come, and lets a person stop it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QWidget

from tubcare.desktop.theme import worded

if TYPE_CHECKING:
    from tubcare.desktop.work import Progress, Ticket, Work
    from tubcare.words.locale import Speech

_PATIENCE_MS = 300
_FULL = 1000


class ProgressRow(QWidget):
    """A line that is there only while long work reports how far it has come."""

    def __init__(self, work: Work, speech: Speech, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._ticket: Ticket | None = None
        self._text = QLabel()
        self._bar = QProgressBar()
        self._bar.setRange(0, _FULL)
        self._bar.setTextVisible(False)
        self._stop_button = QPushButton(speech.say("Stop"))
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 4, 16, 4)
        row.addWidget(self._text)
        row.addWidget(self._bar, 1)
        row.addWidget(self._stop_button)
        self._stop_button.clicked.connect(self._stop)
        work.progressed.connect(self._show)
        work.ended.connect(self._end)
        self.hide()

    @Slot(object)
    def _show(self, progress: Progress) -> None:
        if progress.ticket.stopped or progress.ticket.over:
            return
        self._ticket = progress.ticket
        said = (
            f"{progress.ticket.title}: {progress.text}" if progress.text else progress.ticket.title
        )
        self._text.setText(said)
        self._bar.setAccessibleName(progress.ticket.title)
        self._bar.setValue(round(max(0.0, min(1.0, progress.part)) * _FULL))
        self.show()

    @Slot(object)
    def _end(self, ticket: Ticket) -> None:
        if ticket is self._ticket:
            self._ticket = None
            self.hide()

    @Slot()
    def _stop(self) -> None:
        if self._ticket is not None:
            self._ticket.stop()
            self._end(self._ticket)


class BusyLabel(QLabel):
    """Says that something goes on, when it takes longer than a blink."""

    def __init__(self, work: Work, speech: Speech) -> None:
        super().__init__()
        self._said = speech.say("Working…")
        worded(self, "muted")
        self.setMinimumHeight(self.fontMetrics().lineSpacing() + 10)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_PATIENCE_MS)
        self._timer.timeout.connect(self._say)
        work.busy_changed.connect(self._follow)

    @Slot(object)
    def _follow(self, busy: bool) -> None:  # noqa: FBT001  the signal's value
        if busy:
            self._timer.start()
        else:
            self._timer.stop()
            self.setText("")

    @Slot()
    def _say(self) -> None:
        self.setText(f"    {self._said}")
