"""What an inspection's result brings: another interval, a follow-up task."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QWidget
from typing_extensions import override

from tubcare.care.plan_card import FollowUp
from tubcare.care.terms import InspectionResult, Period
from tubcare.desktop.entry import NumberEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.tasks_choice import Pick
from tubcare.words.terms import word

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.desktop.screen import Context
    from tubcare.services.edit_kit import EditKit

NUMBER_LETTERS = 6
DAYS_UNLESS_SAID = 7


class ResultInterval(QWidget):
    """The interval after one result; empty where the rule stands."""

    changed = Signal(object)
    """Carries nothing (None)."""

    def __init__(self, context: Context, kept: Mapping[str, object] | None) -> None:
        super().__init__()
        self.every = _number(self, context, "every", context.say("How many"))
        self.period = Pick(
            context.say("Days, weeks, months or years"),
            [(period, word(context.speech, period)) for period in Period],
        )
        if kept is not None:
            self.every.setText(str(kept["every"]))
            self.period.choose(Period(str(kept["period"])))
        _row(self, self.every, self.period)
        self.every.textChanged.connect(self._tell)
        self.period.currentIndexChanged.connect(self._tell)

    def read(self) -> dict[str, object] | None:
        """Return the interval as plain data, None for the rule's own; raises `InputError`."""
        number = self.every.number()
        if number is None:
            return None
        return {"every": int(number), "period": self.period.chosen().value}

    @override
    def setFocus(self, *_reason: object) -> None:
        """Give the keyboard to the number."""
        self.every.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot()
    def _tell(self) -> None:
        self.changed.emit(None)


class FollowUpEdit(QWidget):
    """The single task that one result adds; empty for none."""

    def __init__(self, context: Context, result: InspectionResult, kept: FollowUp | None) -> None:
        super().__init__()
        self._result = result
        self.title = QLineEdit("" if kept is None else kept.title)
        self.title.setAccessibleName(context.say("Title of the task that is added"))
        self.days = _number(self, context, "within_days", context.say("Within how many days"))
        self.days.setText(str(DAYS_UNLESS_SAID if kept is None else kept.within_days))
        words = QLabel(context.say("days"))
        _row(self, self.title, self.days, words, stretch=False)

    def read(self) -> FollowUp | None:
        """Return the follow-up, None for none; raises `InputError`, `OutOfRangeError`."""
        title = self.title.text().strip()
        if not title:
            return None
        number = self.days.number()
        days = DAYS_UNLESS_SAID if number is None else int(number)
        return FollowUp(result=self._result, title=title, within_days=days)

    @override
    def setFocus(self, *_reason: object) -> None:
        """Give the keyboard to the title."""
        self.title.setFocus(Qt.FocusReason.OtherFocusReason)


class InspectionForm(Form):
    """What follows from a good, a doubtful or a bad result."""

    changed = Signal(object)
    """Carries nothing (None): an interval was changed."""

    def __init__(self, context: Context, kit: EditKit) -> None:
        super().__init__(context.speech)
        say = context.say
        kept = kit.draft.rules.get("result_intervals", {})
        self.intervals = {
            result: ResultInterval(context, kept.get(result.value)) for result in InspectionResult
        }
        self.follow_ups = {
            result: FollowUpEdit(context, result, kit.draft.card.follow_up(result))
            for result in (InspectionResult.DOUBTFUL, InspectionResult.BAD)
        }
        for result, interval in self.intervals.items():
            told = word(context.speech, result)
            self.add_row(
                f"interval {result.value}",
                say("If {result}, again every", result=told),
                interval,
                read=interval.read,
                hint=say("Empty: as the rule says") if result is InspectionResult.GOOD else "",
            )
            interval.changed.connect(self.changed)
        for result, follow_up in self.follow_ups.items():
            told = word(context.speech, result)
            self.add_row(
                f"follow up {result.value}",
                say("If {result}, add the task", result=told),
                follow_up,
                read=follow_up.read,
            )

    def result_intervals(self) -> dict[str, dict[str, object]]:
        """Return the interval after each result that has one; raises `InputError`."""
        read = {result.value: each.read() for result, each in self.intervals.items()}
        return {name: interval for name, interval in read.items() if interval is not None}

    def follow_up_tasks(self) -> tuple[FollowUp, ...]:
        """Return the tasks that results add; raises `InputError`, `OutOfRangeError`."""
        read = (each.read() for each in self.follow_ups.values())
        return tuple(each for each in read if each is not None)


def _number(parent: QWidget, context: Context, field: str, name: str) -> NumberEntry:
    entry = NumberEntry(field, context.voice, decimals=0)
    entry.setAccessibleName(name)
    entry.setFixedWidth(NUMBER_LETTERS * parent.fontMetrics().averageCharWidth() + 20)
    return entry


def _row(parent: QWidget, *parts: QWidget, stretch: bool = True) -> None:
    row = QHBoxLayout(parent)
    row.setContentsMargins(0, 0, 0, 0)
    for part in parts:
        row.addWidget(part)
    if stretch:
        row.addStretch()
