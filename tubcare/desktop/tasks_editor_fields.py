"""All that is written about a task, read as one draft."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from tubcare.desktop.tasks_form import TaskForm, UsualForm
from tubcare.desktop.tasks_inspection import InspectionForm
from tubcare.desktop.tasks_rules import RulesEditor
from tubcare.desktop.tasks_step_editor import StepsEditor
from tubcare.desktop.tasks_steps import wrapped
from tubcare.desktop.theme import worded
from tubcare.errors import InputError, OutOfRangeError
from tubcare.words.sentences.errors import trouble

if TYPE_CHECKING:
    from tubcare.care.plan_card import Need
    from tubcare.desktop.screen import Context
    from tubcare.services.edit_kit import EditKit
    from tubcare.services.task_edits import TaskDraft


class EditorFields(QWidget):
    """The forms of a task below each other: what, when, how, what is usual."""

    changed = Signal(object)
    """Carries nothing (None): something that moves its dates was changed."""
    submitted = Signal(object)
    """Carries nothing (None): Enter was pressed in a field."""

    def __init__(self, context: Context, kit: EditKit) -> None:
        super().__init__()
        self._context = context
        self._kit = kit
        say = context.say
        self.form = TaskForm(context, kit)
        self.rules = RulesEditor(context, kit.today)
        self.steps = StepsEditor(context)
        self.steps_fault = worded(wrapped(""), "error")
        self.inspection = InspectionForm(context, kit)
        self.usual = UsualForm(context, kit)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(12)
        for part in (
            self.form,
            worded(QLabel(say("Due at the earliest of these")), "strong"),
            self.rules,
            worded(QLabel(say("Steps")), "strong"),
            self.steps,
            self.steps_fault,
            worded(QLabel(say("What an inspection finds decides")), "strong"),
            self.inspection,
            worded(QLabel(say("What is usual")), "strong"),
            self.usual,
        ):
            rows.addWidget(part)
        self.steps_fault.hide()
        self.rules.fill(kit.draft.rules["triggers"])
        self.steps.fill(kit.draft.card.steps)
        self._follow()

    def show_error(self, error: BaseException) -> bool:
        """Show what a service said about a field beside it; return whether it is one of ours."""
        return self.form.show_error(error) or self.usual.show_error(error)

    def is_sound(self) -> bool:
        """Return whether all can be used; show what cannot, and go there."""
        sound = all(each.check() for each in (self.form, self.inspection, self.usual))
        if self.rules.read() is None or self.rules.first_fault() is not None:
            row = self.rules.first_fault()
            if row is not None:
                row.kind.setFocus()
            return False
        try:
            self.steps.read()
        except (InputError, OutOfRangeError) as error:
            self.steps_fault.setText(trouble(self._context.speech, error).happened)
            self.steps_fault.show()
            self.steps.setFocus()
            return False
        return sound

    def draft(self) -> TaskDraft | None:
        """Return the task as written, None while something of it cannot be used."""
        rules = self.rules.read()
        if rules is None:
            return None
        base, usual, form = self._kit.draft, self.usual, self.form
        try:
            card = replace(
                base.card,
                why=usual.purpose.read(),
                who=usual.who.currentText().strip(),
                needs=_same_order(usual.needs.read(), base.card.needs),
                tools=_parted(usual.tools.read()),
                steps=self.steps.read(),
                follow_ups=self.inspection.follow_up_tasks(),
            )
            return replace(
                base,
                tub=form.tub.chosen(),
                title=form.title_entry.text(),
                category=form.category.chosen(),
                rules={
                    **base.rules,
                    "triggers": rules,
                    "scope": form.scope.chosen().value,
                    "out_of_scope": form.out_of_scope.chosen().value,
                    "minutes": usual.minutes.minutes() or 0,
                    "lead_days": int(usual.lead.number() or 0),
                    "round_name": usual.round.text().strip(),
                    "result_intervals": self.inspection.result_intervals(),
                },
                card=card,
                usual_minor=usual.cost.minor(),
                first_due_on=form.first.day(),
                supplies=usual.supplies.read(),
                reminds=usual.reminds.isChecked(),
            )
        except (InputError, OutOfRangeError):
            return None

    def _follow(self) -> None:
        form = self.form
        for box in (form.tub, form.scope, form.out_of_scope):
            box.currentIndexChanged.connect(self._tell)
        form.first.textChanged.connect(self._tell)
        for part in (self.rules, self.inspection):
            part.changed.connect(self.changed)
        for each in (form, self.inspection, self.usual):
            each.submitted.connect(self.submitted)

    @Slot()
    def _tell(self) -> None:
        self.changed.emit(None)


def _same_order(ticked: tuple[Need, ...], kept: tuple[Need, ...]) -> tuple[Need, ...]:
    """Return what is ticked in the order that it had, so that nothing looks changed."""
    return (*(n for n in kept if n in ticked), *(n for n in ticked if n not in kept))


def _parted(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(",") if part.strip())
