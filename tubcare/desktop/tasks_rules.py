"""The rules of a task being edited: one row for each, with what is wrong with it below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot

from tubcare.desktop.row_box import RowBox
from tubcare.desktop.tasks_rule_row import RuleRow, first_rules

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.errors import InputError, OutOfRangeError


class RulesEditor(RowBox):
    """All rules of a task; it is due at the earliest of them."""

    changed = Signal(object)
    """Carries nothing (None)."""

    def __init__(self, context: Context, today: date) -> None:
        super().__init__(context.say("Add a rule"))
        self._context = context
        self._today = today
        self.rows: list[RuleRow] = []
        self.add_button.clicked.connect(self._add_first)

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
        self.put_row(row)
        row.changed.connect(self.changed)
        row.removed.connect(self._remove)
        return row

    @Slot(object)
    def _remove(self, row: RuleRow) -> None:
        self.rows.remove(row)
        self.take_row(row)
        self._follow()
        self.add_button.setFocus()
        self.changed.emit(None)

    def _follow(self) -> None:
        for row in self.rows:
            row.remove_button.setEnabled(len(self.rows) > 1)
        self.order(stop for row in self.rows for stop in row.stops)
