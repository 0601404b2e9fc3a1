"""The rules of a task being edited: one row for each, with what is wrong with it below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from tubcare.desktop.buttons import first_stop
from tubcare.desktop.tasks_rule_row import RuleRow, first_rules

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.errors import InputError, OutOfRangeError


class RulesEditor(QWidget):
    """All rules of a task; it is due at the earliest of them."""

    changed = Signal(object)
    """Carries nothing (None)."""

    def __init__(self, context: Context, today: date) -> None:
        super().__init__()
        self._context = context
        self._today = today
        self.rows: list[RuleRow] = []
        self._list = QVBoxLayout()
        self._first_stop = first_stop(self)
        self.add_button = QPushButton(context.say("Add a rule"))
        self.add_button.clicked.connect(self._add_first)
        below = QHBoxLayout()
        below.addWidget(self.add_button)
        below.addStretch()
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addLayout(self._list)
        box.addLayout(below)

    def fill(self, rules: Sequence[Mapping[str, object]]) -> None:
        """Show the rules of a task."""
        for data in rules:
            self._add().fill(data)
        self._follow()

    def read(self) -> list[dict[str, object]] | None:
        """Return the rules as plain data, None when one cannot be read; that row says why."""
        found = [row.understood() for row in self.rows]
        sound = [data for data in found if data is not None]
        return sound if len(sound) == len(found) else None

    def tell_faults(self, faults: Mapping[int, InputError | OutOfRangeError]) -> None:
        """Say by the place of each rule what is wrong with it; nothing for the others."""
        for place, row in enumerate(self.rows):
            row.tell_fault(faults.get(place))

    def first_fault(self) -> RuleRow | None:
        """Return the first row that says what is wrong with it."""
        return next((row for row in self.rows if row.fault.text()), None)

    @Slot()
    def _add_first(self) -> None:
        row = self._add()
        row.fill(first_rules(self._today)["elapsed"])
        row.kind.setFocus()
        self._follow()
        self.changed.emit(None)

    def _add(self) -> RuleRow:
        row = RuleRow(self._context, self._today)
        self.rows.append(row)
        self._list.addWidget(row)
        row.changed.connect(self.changed)
        row.removed.connect(self._remove)
        return row

    @Slot(object)
    def _remove(self, row: RuleRow) -> None:
        self.rows.remove(row)
        self._list.removeWidget(row)
        row.hide()
        row.deleteLater()
        self._follow()
        self.add_button.setFocus()
        self.changed.emit(None)

    def _follow(self) -> None:
        before: QWidget = self._first_stop
        for row in self.rows:
            row.remove_button.setEnabled(len(self.rows) > 1)
            before = row.put_after(before)
