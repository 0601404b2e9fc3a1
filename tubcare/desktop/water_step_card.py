"""One step of the dosing plan: what, how much, cautions, waits, what to expect, and its tick."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from tubcare.desktop.theme import main_action, worded
from tubcare.words.money import money
from tubcare.words.sentences.water_care import neutralise_text
from tubcare.words.sentences.water_plan import (
    expected_text,
    step_purpose,
    step_title,
    wait_text,
)

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown
    from tubcare.services.water_plan_model import PlannedStep
    from tubcare.words.locale import Speech


class StepCard(QFrame):
    """Shows a step as a service worked it out; only the next one can be ticked."""

    tick_wanted = Signal(object)
    """Carries the step (PlannedStep)."""

    def __init__(self, context: Context, shown: WaterShown, planned: PlannedStep) -> None:
        super().__init__()
        self.setProperty("card", True)  # noqa: FBT003  a Qt property
        self._planned = planned
        speech = shown.speech
        title = f"{planned.number}. {step_title(speech, planned.step)}"
        self.setAccessibleName(title)
        self.tick = QPushButton(_tick_text(speech, shown, planned))
        self.tick.setAccessibleDescription(title)
        following = shown.plan.next_step
        is_next = following is not None and following.number == planned.number
        self.tick.setEnabled(is_next)
        if is_next:
            main_action(self.tick)
        colour = "primary_text" if is_next else "disabled"
        context.icons.put_on(self.tick, "done" if planned.done else "tick", colour)
        self.tick.clicked.connect(self._ask)
        words = QVBoxLayout()
        words.setSpacing(3)
        words.addWidget(_line(title, "strong"))
        words.addWidget(_line(_purpose(speech, planned), "muted"))
        for caution in planned.own_cautions:
            words.addWidget(_caution(context, self, speech, speech.own(caution)))
        if planned.general_cautions:
            told = " ".join(map(speech.own, planned.general_cautions))
            words.addWidget(_caution(context, self, speech, told))
        if planned.neutralise is not None:
            told = neutralise_text(speech, planned.neutralise, planned.drained_ph)
            words.addWidget(_caution(context, self, speech, told))
        last = planned.number == len(shown.plan.steps)
        words.addWidget(_line(wait_text(speech, planned.step, last=last), ""))
        expected = expected_text(
            speech, shown.plan.kit, planned.step.expected, shown.plan.quantities
        )
        words.addWidget(_line(expected, ""))
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 10, 12, 12)
        row.setSpacing(14)
        row.addLayout(words, 1)
        row.addWidget(self.tick, 0, Qt.AlignmentFlag.AlignTop)

    @Slot()
    def _ask(self) -> None:
        self.tick_wanted.emit(self._planned)


def _tick_text(speech: Speech, shown: WaterShown, planned: PlannedStep) -> str:
    if planned.done is None:
        return speech.say("Done")
    return speech.say("Done at {time}", time=shown.moment(planned.done.at))


def _purpose(speech: Speech, planned: PlannedStep) -> str:
    told = step_purpose(speech, planned.step)
    told = f"{told[:1].upper()}{told[1:]}"
    if not planned.step.cost_minor:
        return told
    cost = money(speech, planned.step.cost_minor)
    return speech.say("{purpose}; costs {amount}", purpose=told, amount=cost)


def _line(text: str, kind: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return worded(label, kind) if kind else label


def _caution(context: Context, card: QWidget, speech: Speech, text: str) -> QWidget:
    """Return a caution with its triangle; read out as one."""
    holder = QWidget()
    row = QHBoxLayout(holder)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(6)
    mark = QLabel()
    mark.setPixmap(context.icons.pixmap("late", "late", 16, card.devicePixelRatioF()))
    mark.setAccessibleName(speech.say("Caution"))
    row.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
    row.addWidget(_line(text, ""), 1)
    return holder
