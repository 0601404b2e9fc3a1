"""The steps of a task with their tick boxes, waits and cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QCheckBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QVBoxLayout,
    QWidget,
)
from typing_extensions import override

from tubcare.desktop.buttons import first_stop, tab_through
from tubcare.desktop.tasks_words import step_note
from tubcare.desktop.theme import worded
from tubcare.words.plan_terms import caution_told

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QMouseEvent

    from tubcare.desktop.screen import Context
    from tubcare.services.task_record import StepLine


LEAST_PX = 28
"""What can be pressed is no smaller than this."""


class CautionLabel(QFrame):
    """A caution beside what it belongs to: a drawing and words, framed."""

    def __init__(self, context: Context, text: str) -> None:
        super().__init__()
        self.setProperty("card", True)  # noqa: FBT003  a Qt property
        drawing = QLabel()
        drawing.setPixmap(context.icons.pixmap("fault", "late", scale=self.devicePixelRatioF()))
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 6, 8, 6)
        row.addWidget(drawing, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(wrapped(caution_told(context.speech, text)), 1)


class StepRow(QWidget):
    """One step: its box, its words, who ticked it or what it waits for, its cautions."""

    ticked = Signal(object)
    """Carries a tuple of its number and whether it is ticked now."""

    def __init__(self, context: Context, step: StepLine) -> None:
        super().__init__()
        self._context = context
        self._step = step
        self.box = QCheckBox()
        self.box.setMinimumWidth(LEAST_PX)
        self.box.setAccessibleName(step.text)
        self.words = wrapped(
            context.say("{n}. {step}", n=step.number + 1, step=step.text), press=self._press
        )
        self.note = worded(wrapped(""), "muted")
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setColumnStretch(1, 1)
        grid.setVerticalSpacing(4)
        grid.addWidget(self.box, 0, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(self.words, 0, 1)
        grid.addWidget(self.note, 1, 1)
        for place, text in enumerate(step.cautions):
            grid.addWidget(CautionLabel(context, text), 2 + place, 1)
        self.box.clicked.connect(self._tell)

    def show_step(self, step: StepLine, zone: str, *, open_now: bool) -> None:
        """Show how the step stands; boxes rest while nothing of the task is open."""
        self._step = step
        note = step_note(self._context.speech, step, zone)
        self.box.setChecked(step.done_at is not None)
        self.box.setEnabled(open_now)
        self.box.setAccessibleDescription(note)
        self.note.setText(note)
        self.note.setVisible(bool(note))

    def _press(self) -> None:
        if self.box.isEnabled():
            self.box.click()

    @Slot()
    def _tell(self) -> None:
        self.ticked.emit((self._step.number, self.box.isChecked()))


class StepsView(QWidget):
    """All steps of one task, in order."""

    ticked = Signal(object)
    """Carries a tuple of the number of a step (from 0) and whether it is ticked now."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.rows: list[StepRow] = []
        self._shown: tuple[object, ...] = ()
        self._first_stop = first_stop(self)
        self._list = QVBoxLayout(self)
        self._list.setContentsMargins(0, 0, 0, 0)
        self._list.setSpacing(8)

    def show_steps(
        self, task: int, steps: Sequence[StepLine], zone: str, *, open_now: bool
    ) -> None:
        """Show the steps of a task; the rows stay when only their ticks changed."""
        wanted = (task, *((step.text, step.cautions) for step in steps))
        if wanted != self._shown:
            self._build(steps)
            self._shown = wanted
        for row, step in zip(self.rows, steps, strict=True):
            row.show_step(step, zone, open_now=open_now)

    def _build(self, steps: Sequence[StepLine]) -> None:
        for row in self.rows:
            self._list.removeWidget(row)
            row.hide()
            row.deleteLater()
        self.rows = [StepRow(self._context, step) for step in steps]
        for row in self.rows:
            row.ticked.connect(self.ticked)
            self._list.addWidget(row)
        tab_through(self._first_stop, (row.box for row in self.rows))


class _Words(QLabel):
    def __init__(self, text: str, press: Callable[[], None] | None) -> None:
        super().__init__(text)
        self._press = press
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)

    @override
    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Stand in for the box beside it."""
        if self._press is not None:
            self._press()
        super().mouseReleaseEvent(event)


def wrapped(text: str, *, press: Callable[[], None] | None = None) -> QLabel:
    """Return plain text that wraps; `press` is called when it is clicked."""
    return _Words(text, press)
