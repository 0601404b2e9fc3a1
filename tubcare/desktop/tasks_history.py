"""What was done of a task: a table of its records, with changing and deleting."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.tasks_words import outcome_text
from tubcare.words.dates import medium_date, minutes
from tubcare.words.escape import one_line
from tubcare.words.money import money

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.desktop.screen import Context
    from tubcare.services.task_record import HistoryLine

MOST_ROWS = 7
NOTE_LETTERS = 200


class HistoryView(QWidget):
    """The records of one task, newest first; Enter changes one, Del deletes the newest."""

    amend_wanted = Signal(object)
    """Carries the completion's id."""
    delete_wanted = Signal(object)
    """Carries the completion's id."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        say = context.say
        columns = (
            Column(key="day", title=say("Day"), text=self._day),
            Column(key="what", title=say("What"), text=self._what),
            Column(key="who", title=say("Who"), text=_who),
            Column(key="time", title=say("Time"), text=self._time),
            Column(key="cost", title=say("Cost"), text=self._cost, numeric=True),
            Column(key="note", title=say("Note"), text=_note, stretch=True),
        )
        self.model = RowsModel(columns, context.icons, identity=_identity)
        self.table = Table(say("What was done"), "task-history", self.model, context.keeping)
        self.amend_button = QPushButton(say("Change this record…"))
        self.delete_button = QPushButton(say("Delete this record"))
        buttons = QHBoxLayout()
        buttons.addWidget(self.amend_button)
        buttons.addWidget(self.delete_button)
        buttons.addStretch()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(self.table)
        rows.addLayout(buttons)
        self.table.row_chosen.connect(self._follow)
        self.table.row_opened.connect(self._amend_row)
        self.amend_button.clicked.connect(self._amend)
        self.delete_button.clicked.connect(self._delete)

    def show_history(self, lines: Sequence[HistoryLine]) -> None:
        """Show the records of a task."""
        self.model.set_rows(lines)
        row = self.table.verticalHeader().defaultSectionSize()
        shown = min(max(len(lines), 1), MOST_ROWS)
        self.table.setFixedHeight(self.table.horizontalHeader().height() + row * shown + 26)
        if lines and self.table.current_row is None:
            self.table.setCurrentIndex(self.model.index(0, 0))
        self._follow(self.table.current_row)

    @Slot(object)
    def _follow(self, line: HistoryLine | None) -> None:
        self.amend_button.setEnabled(line is not None and not line.skipped)
        self.delete_button.setEnabled(line is not None and line.can_go)
        stands = line is not None and not line.can_go
        self.delete_button.setToolTip(
            self._context.say("A later record stands on this one; delete that first")
            if stands
            else ""
        )

    @Slot(object)
    def _amend_row(self, line: HistoryLine) -> None:
        if not line.skipped:
            self.amend_wanted.emit(line.completion)

    @Slot()
    def _amend(self) -> None:
        if (line := self.table.current_row) is not None:
            self._amend_row(line)

    @Slot()
    def _delete(self) -> None:
        line = self.table.current_row
        if line is not None:
            self.delete_wanted.emit(line.completion)

    def _day(self, line: HistoryLine) -> str:
        return medium_date(self._context.speech, line.on)

    def _what(self, line: HistoryLine) -> str:
        return outcome_text(self._context.speech, line)

    def _time(self, line: HistoryLine) -> str:
        return "" if line.minutes is None else minutes(self._context.speech, line.minutes)

    def _cost(self, line: HistoryLine) -> str:
        return money(self._context.speech, line.cost_minor) if line.cost_minor else ""


def _identity(line: HistoryLine) -> int:
    return line.completion


def _who(line: HistoryLine) -> str:
    return line.who


def _note(line: HistoryLine) -> str:
    return one_line(line.note, NOTE_LETTERS)
