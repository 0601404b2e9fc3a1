"""The steps of a task being edited: text and the wait after it; order by buttons."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QWidget
from typing_extensions import override

from tubcare.care.plan_card import LONGEST_WAIT_H, Step
from tubcare.desktop.entry import NumberEntry
from tubcare.desktop.row_box import RowBox
from tubcare.errors import OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.desktop.screen import Context

WAIT_LETTERS = 6


class StepEdit(QWidget):
    """One step; its cautions stay with it."""

    removed = Signal(object)
    """Carries this row."""
    up_wanted = Signal(object)
    """Carries this row."""

    def __init__(self, context: Context, step: Step | None = None) -> None:
        super().__init__()
        say = context.say
        self._cautions = () if step is None else step.cautions
        self.text = QLineEdit("" if step is None else step.text)
        self.text.setAccessibleName(say("What to do"))
        # A long step is read from its beginning.
        self.text.setCursorPosition(0)
        self.wait = NumberEntry("wait_after_h", context.voice, decimals=2)
        self.wait.setAccessibleName(say("Hours to wait before the next step"))
        self.wait.setFixedWidth(WAIT_LETTERS * self.fontMetrics().averageCharWidth() + 20)
        if step is not None and step.wait_after_h:
            self.wait.fill(step.wait_after_h)
        self.up_button = QPushButton(say("Up"))
        self.up_button.setAccessibleName(say("Move this step up"))
        self.remove_button = QPushButton(say("Remove"))
        self.remove_button.setAccessibleName(say("Remove this step"))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.text, 1)
        row.addWidget(QLabel(say("then wait")))
        row.addWidget(self.wait)
        row.addWidget(QLabel(say("h")))
        row.addWidget(self.up_button)
        row.addWidget(self.remove_button)
        self.up_button.clicked.connect(self._up)
        self.remove_button.clicked.connect(self._remove)

    @property
    def stops(self) -> tuple[QWidget, ...]:
        """Return where the keyboard stops, in order."""
        return (self.text, self.wait, self.up_button, self.remove_button)

    def read(self) -> Step | None:
        """Return the step, None for an empty row; raises `InputError`, `OutOfRangeError`."""
        text = self.text.text().strip()
        if not text:
            return None
        hours = float(self.wait.number() or 0)
        if not 0 <= hours <= LONGEST_WAIT_H:
            raise OutOfRangeError("wait_after_h", hours, 0, LONGEST_WAIT_H)
        return Step(text=text, wait_after_h=hours, cautions=self._cautions)

    @Slot()
    def _up(self) -> None:
        self.up_wanted.emit(self)

    @Slot()
    def _remove(self) -> None:
        self.removed.emit(self)


class StepsEditor(RowBox):
    """All steps in order; empty rows are left out."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.say("Add a step"))
        self._context = context
        self.rows: list[StepEdit] = []
        self.add_button.clicked.connect(self._add_empty)

    @override
    def setFocus(self, *_reason: object) -> None:
        """Give the keyboard to the first step, or to the button that adds one."""
        first = self.rows[0].text if self.rows else self.add_button
        first.setFocus(Qt.FocusReason.OtherFocusReason)

    def fill(self, steps: Sequence[Step]) -> None:
        """Show steps."""
        for step in steps:
            self._add(step)
        self._order()

    def read(self) -> tuple[Step, ...]:
        """Return the steps; raises `InputError`, `OutOfRangeError`."""
        read = (row.read() for row in self.rows)
        return tuple(step for step in read if step is not None)

    @Slot()
    def _add_empty(self) -> None:
        self._add(None)
        self._order()
        self.rows[-1].text.setFocus()

    def _add(self, step: Step | None) -> None:
        row = StepEdit(self._context, step)
        self.rows.append(row)
        self.put_row(row)
        row.removed.connect(self._remove)
        row.up_wanted.connect(self._move_up)

    @Slot(object)
    def _remove(self, row: StepEdit) -> None:
        self.rows.remove(row)
        self.take_row(row)
        self._order()
        self.add_button.setFocus()

    @Slot(object)
    def _move_up(self, row: StepEdit) -> None:
        at = self.rows.index(row)
        if at == 0:
            return
        self.rows.insert(at - 1, self.rows.pop(at))
        self._list.removeWidget(row)
        self.put_row(row, at - 1)
        self._order()
        row.up_button.setFocus()

    def _order(self) -> None:
        self.order(stop for row in self.rows for stop in row.stops)
