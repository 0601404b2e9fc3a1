"""The forms about one piece of work: what was done, why it is skipped, when it is put off to."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QComboBox, QPlainTextEdit

from tubcare.care.terms import InspectionResult
from tubcare.desktop.entry import DateEntry, MinutesEntry, MoneyEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.tasks_supplies import SuppliesEditor
from tubcare.errors import InputError
from tubcare.services.upkeep_model import Work
from tubcare.words.dates import minutes
from tubcare.words.terms import word

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.services.work_kit import WorkKit

NOTE_LINES = 4


class NoteEdit(QPlainTextEdit):
    """Some lines of plain text; Tab leaves it."""

    def __init__(self) -> None:
        super().__init__()
        self.setTabChangesFocus(True)
        self.setFixedHeight(self.fontMetrics().lineSpacing() * NOTE_LINES + 14)


class WorkForm(Form):
    """What was done: the day, who, what was found and used, minutes, money, a note."""

    def __init__(self, context: Context, kit: WorkKit) -> None:
        super().__init__(context.speech)
        say, voice = context.say, context.voice
        self._kit = kit
        self.day = DateEntry("date", voice, kit.today)
        self.person = people_box(context, kit.people)
        self.minutes = MinutesEntry("minutes", voice)
        self.cost = MoneyEntry("minor", voice)
        self.supplies = SuppliesEditor(context, kit.supplies)
        self.note = NoteEdit()
        self.result = _results(context) if kit.asks_result else None
        self.add_row(
            "date",
            say("Day"),
            self.day,
            read=self.day.day,
            hint=say("Arrow keys move by a day; “yesterday” is understood too"),
        )
        self.add_row("person", say("Who"), self.person, read=self._read_person)
        if self.result is not None:
            self.add_row("result", say("What was found"), self.result)
        self.add_row("quantity_milli", say("Used up"), self.supplies, read=self.supplies.read)
        self.add_row("minutes", say("Time taken"), self.minutes, read=self.minutes.minutes)
        self.add_row(
            "minor",
            say("Money paid"),
            self.cost,
            read=self.cost.minor,
            hint=say("Besides what comes from the shelf"),
        )
        self.add_row("note", say("Note"), self.note)
        self._fill(context)

    def work(self) -> Work:
        """Return what was filled in; raises `InputError`."""
        found = None if self.result is None else self.result.currentData()
        return Work(
            on=self.day.day(),
            person=self._read_person(),
            minutes=self.minutes.minutes(),
            note=self.note.toPlainText(),
            result=None if found is None else InspectionResult(found),
            uses=self.supplies.read(),
            cost_minor=self.cost.minor() or 0,
        )

    def _fill(self, context: Context) -> None:
        kit, record = self._kit, self._kit.recorded
        if kit.usual_minutes:
            usual = minutes(context.speech, kit.usual_minutes)
            self.minutes.setPlaceholderText(context.say("usually {time}", time=usual))
        if record is None:
            self.person.setCurrentText(kit.actor)
            self.supplies.fill(kit.usual)
            self.cost.fill(kit.usual_minor or None)
            return
        self.day.fill(record.on)
        self.person.setCurrentText(record.who)
        self.minutes.fill(record.minutes)
        self.cost.fill(record.cost_minor or None)
        self.supplies.fill(record.uses)
        self.note.setPlainText(record.note)
        if self.result is not None:
            self.result.setCurrentIndex(max(0, self.result.findData(record.result)))

    def _read_person(self) -> str:
        name = self.person.currentText().strip()
        if not name:
            raise InputError("person", self._speech.say("write who did it"))
        return name


class SkipForm(Form):
    """Why one occurrence is dropped."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self.reason = TextEntry("reason", context.voice, required=True)
        self.add_row(
            "reason",
            context.say("Why"),
            self.reason,
            read=self.reason.read,
            hint=context.say("Kept with the record; the rule goes on as it is"),
        )


class PutOffForm(Form):
    """The day that one occurrence is moved to."""

    def __init__(self, context: Context, today: date, due_on: date) -> None:
        super().__init__(context.speech)
        self._today = today
        self.day = DateEntry("date", context.voice, today)
        self.day.fill(max(today, due_on) + timedelta(days=7))
        self.reason = TextEntry("reason", context.voice)
        self.add_row(
            "date",
            context.say("To"),
            self.day,
            read=self.to,
            hint=context.say("This one date moves; the rule stands"),
        )
        self.add_row("reason", context.say("Why"), self.reason, read=self.reason.read)

    def to(self) -> date:
        """Return the day; raises `InputError` for one that is not ahead."""
        day = self.day.day()
        if day is None or day <= self._today:
            raise InputError("date", self._speech.say("choose a day after today"))
        return day


def people_box(context: Context, names: Sequence[str]) -> QComboBox:
    """Return a field that offers the known people and takes a new name."""
    box = QComboBox()
    box.setEditable(True)
    box.addItems(list(names))
    line = box.lineEdit()
    if line is not None:
        line.setAccessibleName(context.say("Who"))
    return box


def _results(context: Context) -> QComboBox:
    box = QComboBox()
    box.addItem(context.say("not looked at"), None)
    for result in InspectionResult:
        box.addItem(word(context.speech, result), result)
    return box
