"""All of one day beside the month, and the question for a date."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout
from typing_extensions import override

from tubcare.desktop.calendar_agenda import line_identity
from tubcare.desktop.calendar_words import (
    line_mark,
    line_name,
    line_state,
    line_why,
    tubs_text,
    turn_text,
)
from tubcare.desktop.entry import DateEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.theme import main_action, worded
from tubcare.services.calendar import Line
from tubcare.words.dates import relative_day, weekday_date

if TYPE_CHECKING:
    from datetime import date

    from PySide6.QtGui import QKeyEvent

    from tubcare.desktop.calendar_model import MonthShown
    from tubcare.desktop.screen import Context
    from tubcare.services.calendar import Day

LETTERS = 22
_LIST_SHARE = 1000
_STATE = 1


class DayPanel(QFrame):
    """Lists every line of a day, also those that have no room in the month."""

    line_chosen = Signal(object)
    """Carries the `Line` that is now current, None when the day is empty."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        say = context.say
        self._speech = context.speech
        self._tubs = 1
        self._on: date | None = None
        self.heading = worded(QLabel(), "group")
        self.season = worded(QLabel(), "muted")
        self.why = worded(QLabel(), "muted")
        for label in (self.heading, self.season, self.why):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        columns = (
            Column[Line](
                key="task", title=say("Task"), text=self._name, mark=line_mark, stretch=True
            ),
            Column[Line](key="state", title=say("State"), text=self._state),
        )
        model = RowsModel(columns, context.icons, identity=line_identity)
        self.table = Table(say("This day"), "calendar-day", model, context.keeping)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(self.heading)
        rows.addWidget(self.season)
        rows.addWidget(self.table, _LIST_SHARE)
        rows.addWidget(self.why)
        # On an empty day the words stand at the top.
        rows.addStretch(1)
        self.setMinimumWidth(LETTERS * self.fontMetrics().averageCharWidth() + 20)
        self.table.row_chosen.connect(self._choose)

    def show_day(self, day: Day, shown: MonthShown) -> None:
        """Show a day; its first line is current unless the one before is still there."""
        speech = self._speech = shown.speech
        self._tubs = len(shown.calendar.seasons)
        heading = weekday_date(speech, day.on)
        today = shown.calendar.today
        if abs((day.on - today).days) <= 1:
            heading = f"{heading} · {relative_day(speech, day.on, today)}"
        self.heading.setText(heading)
        told = [turn_text(speech, turn) for turn in day.turns]
        self.season.setText("\n".join([*told, tubs_text(speech, day)]))
        kept = self.table.current_row
        # On the same day the line that moved up into the place of one that is gone is next.
        same, self._on = self._on == day.on, day.on
        self.table.rows_model.set_rows(day.lines)
        self.table.setVisible(bool(day.lines))
        found = kept is not None and self.table.choose(line_identity(kept))
        if not found and not (same and self.table.currentIndex().isValid()):
            self.table.setCurrentIndex(self.table.rows_model.index(0, 0))
        self.table.resizeColumnToContents(_STATE)
        self._choose(self.table.current_row)

    def _name(self, line: Line) -> str:
        return line_name(self._speech, line, tubs=self._tubs)

    def _state(self, line: Line) -> str:
        return line_state(self._speech, line)

    @Slot(object)
    def _choose(self, line: Line | None) -> None:
        none = self._speech.say("Nothing on this day.")
        told = "" if line is None else f"{self._name(line)}\n{line_why(self._speech, line)}"
        self.why.setText(told.strip() or none)
        self.line_chosen.emit(line)


class DayQuestion(QFrame):
    """Asks for a date in a row of its own; Enter answers, Escape leaves."""

    answered = Signal(object)
    """Carries the date."""
    left = Signal(object)
    """Carries nothing (None): the person wants no answer."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.setProperty("card", True)  # noqa: FBT003  a Qt property
        self._context = context
        self._rows = QHBoxLayout(self)
        self._rows.setContentsMargins(12, 8, 12, 8)
        self._form: Form | None = None
        self.entry: DateEntry | None = None
        self.hide()

    def ask(self, label: str, verb: str, start: date, today: date, *, about: str = "") -> None:
        """Show the question with a date to start from, and below it what it is about."""
        self._clear()
        context = self._context
        self.entry = DateEntry("date", context.voice, today)
        self.entry.fill(start)
        form = self._form = Form(context.speech)
        form.add_row("date", label, self.entry, read=self.entry.day, hint=about)
        form.submitted.connect(self._answer)
        answer = main_action(QPushButton(verb))
        answer.clicked.connect(self._check)
        leave = QPushButton(context.say("Cancel"))
        leave.clicked.connect(self._leave)
        self._rows.addWidget(form, 1)
        for button in (answer, leave):
            self._rows.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        self.show()
        self.entry.setFocus()
        self.entry.selectAll()

    def refuse(self, error: BaseException) -> bool:
        """Show beside the field what is wrong with the date; return whether it is about that."""
        return self._form is not None and self._form.show_error(error)

    def put_away(self) -> None:
        """Take the question away."""
        self.hide()
        self._clear()

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave with Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self._leave()
        else:
            super().keyPressEvent(event)

    def _clear(self) -> None:
        self._form = self.entry = None
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()

    @Slot()
    def _check(self) -> None:
        if self._form is not None and self._form.check():
            self._answer()

    @Slot(object)
    def _answer(self, _nothing: object = None) -> None:
        day = None if self.entry is None else self.entry.day()
        if day is not None:
            self.answered.emit(day)

    @Slot()
    def _leave(self) -> None:
        self.put_away()
        self.left.emit(None)
