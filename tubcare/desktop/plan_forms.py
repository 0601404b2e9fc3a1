"""The forms beside a plan that is not saved yet: one task of it, and what was last done."""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QComboBox, QLabel, QVBoxLayout, QWidget

from tubcare.care.model import Interval
from tubcare.care.plan_edit import edited, has_first_date, interval_of
from tubcare.care.terms import Period
from tubcare.desktop.buttons import first_stop
from tubcare.desktop.entry import DateEntry, NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.theme import worded
from tubcare.errors import InputError, OutOfRangeError
from tubcare.services.fields import not_after
from tubcare.words.sentences.rules import task_rule
from tubcare.words.terms import word

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from tubcare.care.plan import PlannedTask
    from tubcare.desktop.screen import Context


class PlannedTaskForm(QWidget):
    """One task of a plan: why it is there, its title, interval and first date."""

    changed = Signal(object)
    """Carries the `PlannedTask` as it was changed."""
    submitted = Signal(object)
    """Carries nothing (None), as the form's own signal."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        say, voice = context.say, context.voice
        self._task: PlannedTask | None = None
        self._why = worded(QLabel(), "muted")
        self._why.setWordWrap(True)
        self.title = TextEntry("title", voice, required=True)
        self.every = NumberEntry("every", voice, decimals=0)
        self.period = QComboBox()
        for period in Period:
            self.period.addItem(word(context.speech, period), period.value)
        self.first = DateEntry("first_due_on", voice, context.desk.today("UTC"), required=False)
        self.form = Form(context.speech)
        self.form.add_row("title", say("Task"), self.title, read=self.title.read)
        self.form.add_row("every", say("Every"), self.every, read=self._interval)
        self.form.add_row("period", say("Unit of time"), self.period)
        self.form.add_row("first_due_on", say("First on"), self.first, read=self._first)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(self._why)
        rows.addWidget(self.form)
        for entry in (self.title, self.every, self.first):
            entry.editingFinished.connect(self._change)
        self.period.activated.connect(self._change)
        self.form.submitted.connect(self.submitted)

    def show_task(self, task: PlannedTask) -> None:
        """Show a task; what cannot be set for it is switched off."""
        self._task = None
        built = task.task()
        rule = task_rule(self.title.voice.speech, built.triggers, built.scope)
        due = self.title.voice.speech.say("Due: {rule}.", rule=rule)
        self._why.setText("\n".join(part for part in (task.card.why, due) if part))
        self.title.setText(task.title)
        interval = interval_of(task)
        self.every.fill(None if interval is None else interval.count)
        if interval is not None:
            self.period.setCurrentIndex(self.period.findData(interval.period.value))
        for editor in (self.every, self.period):
            editor.setEnabled(interval is not None)
        self.first.fill(task.first_due_on)
        self.first.setEnabled(has_first_date(task))
        self._task = task
        self.form.look_over()

    def check(self) -> bool:
        """Return whether all fields can be used; go to the first fault."""
        return self.form.check()

    @Slot()
    def _change(self) -> None:
        if self._task is None:
            return
        try:
            task = edited(
                self._task,
                title=self.title.read(),
                every=self._interval(),
                first_due_on=self._first(),
            )
        except (InputError, OutOfRangeError):
            return
        if task != self._task:
            self.show_task(task)
            self.changed.emit(task)

    def _interval(self) -> Interval | None:
        if not self.every.isEnabled():
            return None
        count = self.every.number()
        if count is None:
            raise InputError("every", self.title.voice.speech.say("write a number"))
        return Interval(count=int(count), period=Period(self.period.currentData()))

    def _first(self) -> date | None:
        day = self.first.day()
        if day is not None and self._task is not None and day < self._task.starts_on:
            say = self.title.voice.speech.say
            raise InputError("first_due_on", say("write today or a later day"))
        return day


class LastDoneForm(Form):
    """When the few tasks that matter were last done; what is not known stays empty."""

    changed = Signal(object)
    """Carries nothing (None): a date was written or taken away."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self._context = context
        self.fields: dict[str, DateEntry] = {}
        self._today = context.desk.today("UTC")
        self._known: dict[str, date] = {}
        self._stop = first_stop(self)

    def show_tasks(self, tasks: Sequence[PlannedTask], today: date) -> None:
        """Ask about these tasks; dates that were written for one of them stay."""
        self._today = today
        kept = self.dates()
        self.clear_rows()
        self.fields, self._known = {}, {}
        for task in tasks:
            field = DateEntry(task.template_key, self._context.voice, today, required=False)
            field.fill(kept.get(task.template_key))
            field.editingFinished.connect(self._look)
            self.fields[task.template_key] = field
            self.add_row(task.template_key, task.title, field, read=partial(self._read, field))
        self._known = self.dates()
        for before, after in pairwise([self._stop, *self.fields.values()]):
            QWidget.setTabOrder(before, after)

    def dates(self) -> dict[str, date]:
        """Return the dates that can be used, by template."""
        found = {}
        for key, field in self.fields.items():
            try:
                day = self._read(field)
            except InputError:
                continue
            if day is not None:
                found[key] = day
        return found

    @Slot()
    def _look(self) -> None:
        known = self.dates()
        if known != self._known:
            self._known = known
            self.changed.emit(None)

    def _read(self, field: DateEntry) -> date | None:
        day = field.day()
        return None if day is None else not_after(field.field, day, self._today)
