"""One rule of a task being edited: its kind, its fields, what is wrong with it."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from tubcare.desktop.buttons import tab_through
from tubcare.desktop.tasks_calendar_rule import CalendarFields
from tubcare.desktop.tasks_choice import Pick
from tubcare.desktop.tasks_rule_kinds import (
    ElapsedFields,
    OnceFields,
    ReadingFields,
    SeasonFields,
    UseFields,
)
from tubcare.desktop.tasks_steps import wrapped
from tubcare.desktop.theme import worded
from tubcare.errors import InputError, OutOfRangeError
from tubcare.words.sentences.errors import trouble

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.desktop.tasks_rule_fields import RuleFields


def first_rules(today: date) -> dict[str, dict[str, object]]:
    """Return how a rule of each kind begins."""
    return {
        "elapsed": {"kind": "elapsed", "every": 30, "period": "day"},
        "calendar": {
            "kind": "calendar",
            "rule": "FREQ=MONTHLY;BYMONTHDAY=1",
            "start": today.isoformat(),
        },
        "use": {"kind": "use", "counter": "dip", "amount": 40},
        "season": {"kind": "season", "edge": "closing", "offset_days": -7},
        "reading": {"kind": "reading", "when": "ph outside range"},
        "once": {"kind": "once", "on": today.isoformat()},
    }


_PLAIN: Mapping[str, type[RuleFields]] = MappingProxyType(
    {
        "elapsed": ElapsedFields,
        "use": UseFields,
        "season": SeasonFields,
        "reading": ReadingFields,
    }
)


class RuleRow(QFrame):
    """One rule: its kind, its fields, a button that takes it away, what is wrong with it."""

    changed = Signal(object)
    """Carries nothing (None)."""
    removed = Signal(object)
    """Carries this row."""

    def __init__(self, context: Context, today: date) -> None:
        super().__init__()
        self._context = context
        self._today = today
        self._misread = False
        self.setProperty("card", True)  # noqa: FBT003  a Qt property
        say = context.say
        self.kind = Pick(
            say("Kind of rule"),
            [
                ("elapsed", say("So long after the last time")),
                ("calendar", say("On set dates")),
                ("use", say("After so much use")),
                ("season", say("With the season")),
                ("reading", say("When a reading asks")),
                ("once", say("On one date")),
            ],
        )
        self.fields: RuleFields = ElapsedFields(context)
        self.fault = worded(wrapped(""), "error")
        self.remove_button = QPushButton(say("Remove"))
        self.remove_button.setAccessibleName(say("Remove this rule"))
        head = QHBoxLayout()
        head.addWidget(self.kind)
        head.addStretch()
        head.addWidget(self.remove_button)
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(10, 8, 10, 8)
        self._rows.addLayout(head)
        self._rows.addWidget(self.fields)
        self._rows.addWidget(self.fault)
        self.fault.hide()
        self.kind.currentIndexChanged.connect(self._change_kind)
        self.remove_button.clicked.connect(self._remove)
        self.fields.changed.connect(self._tell)

    def fill(self, data: Mapping[str, object]) -> None:
        """Show a rule."""
        kind = str(data["kind"])
        self.kind.blockSignals(True)  # noqa: FBT003  Qt's own form
        self.kind.choose(kind)
        self.kind.blockSignals(False)  # noqa: FBT003  as above
        self._put(kind)
        self.fields.fill(data)

    def read(self) -> dict[str, object]:
        """Return the rule as plain data; raises `InputError` for what cannot be used."""
        return self.fields.read()

    def understood(self) -> dict[str, object] | None:
        """Return the rule as plain data, None for what cannot be used; the row says why."""
        try:
            data = self.read()
        except (InputError, OutOfRangeError) as error:
            self.tell_fault(error)
            self._misread = True
            return None
        if self._misread:
            self.tell_fault(None)
            self._misread = False
        return data

    def tell_fault(self, error: InputError | OutOfRangeError | None) -> None:
        """Say what is wrong with the rule, naming its part; None for nothing."""
        text = "" if error is None else trouble(self._context.speech, error).happened
        self.fault.setText(text)
        self.fault.setVisible(bool(text))
        self.kind.setAccessibleDescription(text)

    def _put(self, kind: str) -> None:
        fields = self._fields(kind)
        self._rows.replaceWidget(self.fields, fields)
        self.fields.hide()
        self.fields.deleteLater()
        self.fields = fields
        fields.changed.connect(self._tell)
        tab_through(self.kind, self.stops[1:])

    @property
    def stops(self) -> tuple[QWidget, ...]:
        """Return where the keyboard stops, in order."""
        return (self.kind, self.remove_button, *self.fields.stops)

    def _fields(self, kind: str) -> RuleFields:
        if kind == "calendar":
            return CalendarFields(self._context, self._today)
        if kind == "once":
            return OnceFields(self._context, self._today)
        return _PLAIN[kind](self._context)

    @Slot()
    def _change_kind(self) -> None:
        kind = self.kind.chosen()
        self._put(kind)
        self.fields.fill(first_rules(self._today)[kind])
        self.changed.emit(None)

    @Slot(object)
    def _tell(self, _nothing: object) -> None:
        self.changed.emit(None)

    @Slot()
    def _remove(self) -> None:
        self.removed.emit(self)
