"""One amount of the ledger with all that it belongs to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.ledger_facts import facts_of, used_facts
from tubcare.desktop.ledger_words import title_of, used_title
from tubcare.desktop.theme import worded
from tubcare.words.escape import visible

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.services.entries import EntryDetail
    from tubcare.services.used import UsedLine
    from tubcare.values import EntryId, TaskId


class DetailPane(QWidget):
    """Shows the chosen amount; buttons lead to its task and to what it refunds."""

    task_wanted = Signal(object)
    """Carries the task to show."""
    entry_wanted = Signal(object)
    """Carries the amount to show: what a refund refunds."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._lines: tuple[tuple[str, str], ...] = ()
        self._task_id: TaskId | None = None
        self._original_id: EntryId | None = None
        self.title = worded(QLabel(), "group")
        self.title.setWordWrap(True)
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.lines = QFormLayout()
        self.lines.setHorizontalSpacing(14)
        self.lines.setVerticalSpacing(6)
        self.task = QPushButton(context.say("Show the task"))
        self.original = QPushButton(context.say("Show what was refunded"))
        self.task.clicked.connect(self._want_task)
        self.original.clicked.connect(self._want_original)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(12, 0, 0, 0)
        rows.setSpacing(10)
        rows.addWidget(self.title)
        rows.addLayout(self.lines)
        for button in (self.task, self.original):
            rows.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        self._actions = QHBoxLayout()
        self._actions.setSpacing(6)
        rows.addLayout(self._actions)
        rows.addStretch()
        self.show_detail(None)

    def add_buttons(self, actions: Sequence[QAction]) -> None:
        """Put buttons for these actions below the details."""
        for action in actions:
            self._actions.addWidget(ActionButton(action))
        self._actions.addStretch()

    def show_detail(self, detail: EntryDetail | None) -> None:
        """Show an amount; None says that none is chosen."""
        speech = self._context.speech
        if detail is None:
            self._show(speech.say("No amount is chosen"), [], None, None)
            return
        entry = detail.entry
        lines = facts_of(speech, detail)
        self._show(title_of(speech, entry), lines, entry.task, entry.refund_of)

    def show_used(self, line: UsedLine) -> None:
        """Show what left the shelf."""
        speech = self._context.speech
        self._show(used_title(speech, line), used_facts(speech, line), line.task, None)

    def told(self) -> str:
        """Return everything that is shown, one line for each fact."""
        return "\n".join([self.title.text(), *(f"{label}: {text}" for label, text in self._lines)])

    def _show(
        self,
        title: str,
        lines: Sequence[tuple[str, str]],
        task: TaskId | None,
        original: EntryId | None,
    ) -> None:
        while self.lines.rowCount():
            self.lines.removeRow(0)
        self.title.setText(title)
        self._lines, self._task_id, self._original_id = tuple(lines), task, original
        for label, text in lines:
            self._add(label, text)
        self.task.setVisible(task is not None)
        self.original.setVisible(original is not None)

    def _add(self, label: str, text: str) -> None:
        words = QLabel(visible(text))
        words.setTextFormat(Qt.TextFormat.PlainText)
        words.setWordWrap(True)
        self.lines.addRow(worded(QLabel(label), "muted"), words)

    @Slot()
    def _want_task(self) -> None:
        self.task_wanted.emit(self._task_id)

    @Slot()
    def _want_original(self) -> None:
        self.entry_wanted.emit(self._original_id)
