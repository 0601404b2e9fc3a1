"""What a task is, beside its rules and steps: its title, its place, who does it, how long."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QCheckBox, QLineEdit, QVBoxLayout, QWidget

from tubcare.care.plan_card import Need
from tubcare.care.terms import Category, OutOfScope, Scope
from tubcare.desktop.entry import DateEntry, MinutesEntry, MoneyEntry, NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.tasks_choice import Pick
from tubcare.desktop.tasks_supplies import SuppliesEditor
from tubcare.desktop.tasks_work_form import people_box
from tubcare.words.plan_terms import plan_word
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.services.edit_kit import EditKit


class TaskForm(Form):
    """The fields that come first: what, for which tub, when it is alive."""

    def __init__(self, context: Context, kit: EditKit) -> None:
        super().__init__(context.speech)
        say, speech, draft = context.say, context.speech, kit.draft
        self.title_entry = TextEntry("title", context.voice, required=True)
        self.title_entry.setText(draft.title)
        self.category = Pick(say("Part"), [(each, word(speech, each)) for each in Category])
        self.category.choose(draft.category)
        self.tub = Pick(say("Tub"), kit.tubs)
        self.tub.choose(draft.tub)
        self.scope = Pick(say("Time of year"), [(each, word(speech, each)) for each in Scope])
        self.scope.choose(Scope(str(draft.rules.get("scope", Scope.ALWAYS))))
        self.out_of_scope = Pick(
            say("Outside that time"), [(each, word(speech, each)) for each in OutOfScope]
        )
        kept = draft.rules.get("out_of_scope", OutOfScope.MOVE_TO_START)
        self.out_of_scope.choose(OutOfScope(str(kept)))
        self.first = DateEntry("first_due_on", context.voice, kit.today, required=False)
        self.first.fill(draft.first_due_on)
        self.add_row("title", say("Title"), self.title_entry, read=self.title_entry.read)
        self.add_row("category", say("Part"), self.category)
        self.add_row("tub", say("Tub"), self.tub)
        self.add_row("scope", say("Time of year"), self.scope)
        self.add_row("out_of_scope", say("Outside that time"), self.out_of_scope)
        self.add_row(
            "first_due_on",
            say("First time on"),
            self.first,
            read=self.first.day,
            hint=say("Empty: as the rule says; counts until it was done once"),
        )


class NeedsEdit(QWidget):
    """What has to hold while the task is done."""

    def __init__(self, context: Context, kept: tuple[Need, ...]) -> None:
        super().__init__()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(2)
        self.boxes = {need: QCheckBox(plan_word(context.speech, need)) for need in Need}
        for need, box in self.boxes.items():
            box.setChecked(need in kept)
            rows.addWidget(box)

    def read(self) -> tuple[Need, ...]:
        """Return what is ticked."""
        return tuple(need for need, box in self.boxes.items() if box.isChecked())


class UsualForm(Form):
    """What is usual for the task, and how it reminds."""

    def __init__(self, context: Context, kit: EditKit) -> None:
        super().__init__(context.speech)
        say, draft = context.say, kit.draft
        self.who = people_box(context, ("", *kit.people))
        self.who.setCurrentText(draft.card.who)
        self.minutes = MinutesEntry("minutes", context.voice)
        self.minutes.fill(int(str(draft.rules.get("minutes", 0))) or None)
        self.cost = MoneyEntry("usual_minor", context.voice)
        self.cost.fill(draft.usual_minor)
        self.supplies = SuppliesEditor(context, kit.supplies)
        self.supplies.fill(draft.supplies or {})
        self.lead = NumberEntry("lead_days", context.voice, decimals=0)
        self.lead.fill(int(str(draft.rules.get("lead_days", 0))) or None)
        self.reminds = QCheckBox(say("Remind of this task"))
        self.reminds.setChecked(draft.reminds)
        self.round = QLineEdit(str(draft.rules.get("round_name", "")))
        self.purpose = TextEntry("why", context.voice)
        self.purpose.setText(draft.card.why)
        self.needs = NeedsEdit(context, draft.card.needs)
        self.tools = TextEntry("tools", context.voice)
        self.tools.setText(", ".join(draft.card.tools))
        self.add_row("why", say("What it is for"), self.purpose, read=self.purpose.read)
        self.add_row("needs", say("What it needs"), self.needs)
        self.add_row(
            "tools",
            say("Tools"),
            self.tools,
            read=self.tools.read,
            hint=say("Parted by commas"),
        )
        self.add_row("who", say("Who usually does it"), self.who)
        self.add_row("minutes", say("Usual time"), self.minutes, read=self.minutes.minutes)
        self.add_row(
            "quantity_milli", say("Usual supplies"), self.supplies, read=self.supplies.read
        )
        self.add_row(
            "usual_minor",
            say("Usual money"),
            self.cost,
            read=self.cost.minor,
            hint=say("Besides what comes from the shelf"),
        )
        self.add_row(
            "round_name",
            say("Round"),
            self.round,
            hint=say("Tasks of one round are ticked off together"),
        )
        self.add_row(
            "lead_days",
            say("Remind days ahead"),
            self.lead,
            read=self.lead.number,
            hint=say("Empty: on the day it is due"),
        )
        self.add_row("reminds", say("Reminders"), self.reminds)
