"""What an edited task would bring: its rule as a sentence, and the next five dates."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFrame, QLabel, QVBoxLayout

from tubcare.desktop.tasks_steps import wrapped
from tubcare.desktop.theme import worded
from tubcare.words.dates import relative_day, weekday_date
from tubcare.words.sentences.errors import trouble
from tubcare.words.sentences.rules import task_rule

if TYPE_CHECKING:
    from datetime import date

    from tubcare.care.model import Occurrence
    from tubcare.desktop.screen import Context
    from tubcare.services.task_preview import Preview


class PreviewView(QFrame):
    """Follows what is typed; says so when there is nothing to show."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.shown: tuple[str, ...] = ()
        self._between = "\n"
        self.setProperty("card", True)  # noqa: FBT003  a Qt property
        say = context.say
        self.sentence = wrapped("")
        self.heading = worded(QLabel(say("The next five dates")), "strong")
        self.dates = wrapped("")
        self.note = worded(wrapped(""), "muted")
        rows = QVBoxLayout(self)
        rows.setContentsMargins(14, 12, 14, 12)
        rows.setSpacing(8)
        rows.addWidget(worded(QLabel(say("What this means")), "group"))
        for part in (self.sentence, self.heading, self.dates, self.note):
            rows.addWidget(part)
        rows.addStretch()
        self.show_nothing()

    def stand(self, *, below: bool) -> None:
        """Stand beside the fields, or below them with the dates in one line."""
        self._between = " · " if below else "\n"
        self._put_dates()

    def _put_dates(self) -> None:
        self.dates.setText(self._between.join(self.shown))

    def show_nothing(self, why: str = "") -> None:
        """Show that no dates can be told, and why."""
        say = self._context.say
        self.sentence.setText(why or say("Mend what is marked, then the dates show here."))
        self.heading.hide()
        self.shown = ()
        self._put_dates()
        self.note.hide()

    def show_preview(self, found: Preview) -> None:
        """Show the rule as a sentence and its next dates."""
        speech = self._context.speech
        if found.faults:
            self.show_nothing(trouble(speech, found.faults[0].error).happened)
            return
        if found.today is None or found.scope is None:
            self.show_nothing()
            return
        rule = task_rule(speech, found.triggers, found.scope)
        self.sentence.setText(speech.say("Due {rule}.", rule=rule))
        today = found.today
        self.heading.setVisible(bool(found.dates))
        self.shown = tuple(self._told(each, today) for each in found.dates)
        self._put_dates()
        self._show_note(found)

    def _told(self, each: Occurrence, today: date) -> str:
        speech = self._context.speech
        day = weekday_date(speech, each.due_on)
        year = f"{each.due_on:%Y}" if each.due_on.year != today.year else ""
        told = speech.say("{day} {year}", day=day, year=year).strip()
        if each.about:
            told = speech.say("about {day}", day=told)
        if each.due_on <= today:
            behind = relative_day(speech, each.due_on, today)
            told = speech.say("{day} ({when})", day=told, when=behind)
        return told

    def _show_note(self, found: Preview) -> None:
        say = self._context.say
        notes = []
        if found.waits_for_reading:
            notes.append(say("A reading can make it due at any time; that has no date ahead."))
        if found.waits_for_use and not any(each.about for each in found.dates):
            notes.append(say("Dates by use show once there is use on record."))
        if not found.dates and not notes:
            notes.append(say("This gives no date ahead."))
        self.note.setText(" ".join(notes))
        self.note.setVisible(bool(notes))
