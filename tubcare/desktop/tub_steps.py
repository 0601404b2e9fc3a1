"""The steps of a procedure: ticked one by one, with waiting times and the cautions beside them."""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QCheckBox, QFrame, QGridLayout, QLabel, QVBoxLayout, QWidget

from tubcare.care.procedure import StepState
from tubcare.desktop.buttons import first_stop
from tubcare.desktop.theme import worded
from tubcare.words.dates import clock_time, weekday_date
from tubcare.words.numbers import number
from tubcare.words.plan_terms import caution_told
from tubcare.words.terms import word

if TYPE_CHECKING:
    from datetime import datetime

    from tubcare.desktop.screen import Context
    from tubcare.services.procedures import Procedure, ProcedureStep

_MARKS = {
    StepState.DONE: ("done", "done"),
    StepState.NEXT: ("due", "due"),
    StepState.WAITING: ("coming", "coming"),
    StepState.LATER: ("coming", "coming"),
}
_ICON_PX = 16


class StepList(QWidget):
    """Shows the steps handed to it; a tick is only wished for, the logbook decides."""

    tick_wished = Signal(object)
    """Carries a pair: the place of the step (int), and whether it shall be ticked (bool)."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.boxes: list[QCheckBox] = []
        self._of: object = None
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 0, 8, 0)
        self._rows.setSpacing(4)
        self._lines: list[_StepLine] = []
        self._stop = first_stop(self)

    def show_steps(self, procedure: Procedure) -> None:
        """Show where each step of a procedure stands; the keyboard stays where it was."""
        if self._of != (procedure.task, len(procedure.steps)):
            self._rebuild(procedure)
        for line, step in zip(self._lines, procedure.steps, strict=True):
            line.show_step(step, procedure.zone)

    def _rebuild(self, procedure: Procedure) -> None:
        for line in self._lines:
            self._rows.removeWidget(line)
            line.hide()
            line.deleteLater()
        self._of = (procedure.task, len(procedure.steps))
        self._lines = [_StepLine(self._context, step) for step in procedure.steps]
        self.boxes = [line.box for line in self._lines]
        for place, line in enumerate(self._lines):
            line.box.clicked.connect(partial(self._wish, place))
            self._rows.addWidget(line)
        for before, after in pairwise([self._stop, *self.boxes]):
            QWidget.setTabOrder(before, after)

    @Slot()
    def _wish(self, place: int) -> None:
        self.tick_wished.emit((place, self.boxes[place].isChecked()))


class _StepLine(QFrame):
    """One step: a box to tick, what to do, where it stands, and what to beware of."""

    def __init__(self, context: Context, step: ProcedureStep) -> None:
        super().__init__()
        self._context = context
        self.setProperty("card", True)  # noqa: FBT003  a Qt property
        self.box = QCheckBox(context.say("Step {number}", number=step.place + 1))
        self._text = QLabel(step.text)
        self._state = worded(QLabel(), "muted")
        self._mark = QLabel()
        self._shown: tuple[str, str] | None = None
        grid = self._grid = QGridLayout(self)
        grid.setContentsMargins(10, 6, 10, 6)
        grid.setColumnStretch(2, 1)
        grid.addWidget(self.box, 0, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self._mark, 0, 1, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self._text, 0, 2)
        grid.addWidget(self._state, 1, 2)
        for label in (self._text, self._state):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
        for at, caution in enumerate(step.cautions):
            told = QLabel(caution_told(context.speech, caution))
            told.setTextFormat(Qt.TextFormat.PlainText)
            told.setWordWrap(True)
            grid.addWidget(told, 2 + at, 2)

    def show_step(self, step: ProcedureStep, zone: str) -> None:
        """Show where the step stands."""
        told = self._told(step, zone)
        self.box.setChecked(step.state is StepState.DONE)
        self.box.setAccessibleName(f"{self.box.text()}: {step.text}")
        self.box.setAccessibleDescription(
            " ".join([told, *map(self._context.speech.own, step.cautions)])
        )
        self._state.setText(told)
        self._state.setVisible(bool(told))
        icon, role = _MARKS[step.state]
        # The shape alone says nothing to whoever cannot see it well.
        self._mark.setToolTip(word(self._context.speech, step.state))
        self._mark.setPixmap(
            self._context.icons.pixmap(icon, role, _ICON_PX, self.devicePixelRatio())
        )
        worded(self._text, "strong" if step.state in {StepState.NEXT, StepState.WAITING} else "")
        self._text.style().unpolish(self._text)
        self._text.style().polish(self._text)
        # Bold type may need a line more; the layouts around remember the height of plain type.
        self._text.updateGeometry()
        self._grid.invalidate()
        self.updateGeometry()

    def _told(self, step: ProcedureStep, zone: str) -> str:
        say = self._context.say
        parts = []
        if step.done_at is not None:
            parts.append(say("Done {when}.", when=self._moment(step.done_at, zone)))
        elif step.state is StepState.NEXT:
            parts.append(say("This comes next."))
        elif step.state is StepState.WAITING and step.ready_at is not None:
            parts.append(
                say(
                    "This comes next, after waiting until {when}.",
                    when=self._moment(step.ready_at, zone),
                )
            )
        if step.wait_after_h and step.state is not StepState.DONE:
            hours = number(self._context.speech, step.wait_after_h)
            parts.append(say("Then wait {hours} h.", hours=hours))
        return " ".join(parts)

    def _moment(self, at: datetime, zone: str) -> str:
        local, speech = at.astimezone(ZoneInfo(zone)), self._context.speech
        return self._context.say(
            "{day} {time}", day=weekday_date(speech, local.date()), time=clock_time(speech, local)
        )
