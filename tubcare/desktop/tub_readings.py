"""Quick entry of readings: only what this tub's kit shows, with the last values; slips are asked.

What is seen and smelled, and strips matched by colour, go in at the section Water.
"""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox, QWidget
from typing_extensions import override

from tubcare.desktop.buttons import first_stop
from tubcare.desktop.entry import DateEntry, NumberEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.tub_entries import Box
from tubcare.errors import InputError
from tubcare.services.water_doubts import query_test
from tubcare.services.water_entry import Entered, Entry, add_test
from tubcare.water.doubt import EntryDoubt
from tubcare.words.dates import medium_date
from tubcare.words.lists import all_of
from tubcare.words.measures import measured_name
from tubcare.words.sentences.water_entry import doubt_text, ticked_text
from tubcare.words.water_values import field_label, kit_figure, kit_unit, kit_value

if TYPE_CHECKING:
    from datetime import date

    from PySide6.QtGui import QAction

    from tubcare.care.model import Range
    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.reading_kit import ReadingKit
    from tubcare.services.tubs import Tub
    from tubcare.values import TubId
    from tubcare.water.kit import Kit
    from tubcare.words.locale import Speech

_Answer = Entered | tuple[EntryDoubt, ...]


class ReadingsBox(Box):
    """The values that were measured together; empty ones were not measured."""

    def __init__(self, context: Context, action: QAction) -> None:
        super().__init__(context, Form(context.speech), action)
        action.triggered.connect(self.write_down)
        self.action = action
        self.fields: dict[str, NumberEntry] = {}
        self.day = DateEntry("date", context.voice, context.desk.today("UTC"))
        self.more = QComboBox()
        self.more.setAccessibleName(context.say("Another quantity"))
        self.more.activated.connect(self._add_chosen)
        self.rows.insertWidget(1, self.more)
        self._kit: ReadingKit | None = None
        self._question: Entry | None = None
        self._added = 0
        self._stop = first_stop(self)

    @override
    def show_kit(self, tub: Tub, kit: ReadingKit, today: date, people: tuple[str, ...]) -> None:
        """Show a field for each quantity of this tub, with its last value."""
        known = self._kit is not None and self._kit.kit == kit.kit
        same = known and self.tub is not None and self.tub.id == tub.id
        if not same or not set(kit.asked) <= set(self.fields):
            self._rebuild(kit)
        super().show_kit(tub, kit, today, people)
        self._kit = kit
        self.day.move_to(today)
        for name in self.fields:
            self.form.set_hint(name, self._hint(name, kit))

    @Slot()
    def write_down(self) -> None:
        """Write the values down; a likely slip is asked about first, and never changed."""
        if self.tub is None or not self.form.check():
            return
        typed = {name: field.number() for name, field in self.fields.items()}
        values = {name: float(value) for name, value in typed.items() if value is not None}
        if not values:
            first = next(iter(self.fields))
            self.tell(InputError(first, self.context.say("write at least one value")))
            return
        entry = Entry(values=values, on=self.day.day())
        confirmed = entry == self._question
        write = _write if confirmed else _write_unless_doubtful
        self.write(
            partial(write, self.context.desk, self.tub.id, entry),
            done=partial(self._take_answer, entry),
            title=self.context.say("Writing down readings"),
        )

    def _take_answer(self, entry: Entry, answer: _Answer) -> None:
        if isinstance(answer, Entered):
            self._say_entered(answer)
        else:
            self._ask(entry, answer)

    def _ask(self, entry: Entry, doubts: tuple[EntryDoubt, ...]) -> None:
        say, speech = self.context.say, self.context.speech
        if self._kit is None:
            return
        told = {each.name: doubt_text(speech, self._kit.kit, each) for each in doubts}
        # The first one last, so that the keyboard ends there.
        for name, text in reversed(told.items()):
            more = say("Enter once more keeps it as written")
            self.form.show_error(InputError(name, f"{text} {more}"))
        self.action.setText(say("Write down as it stands"))
        self.tell_text(say("Nothing is written down yet: look at the marked values again."))
        self._question = entry

    def _say_entered(self, entered: Entered) -> None:
        speech = self.context.speech
        for field in self.fields.values():
            field.clear()
        self._forget_question()
        if self._kit is None:
            return
        told = [
            f"{measured_name(speech, name)} {kit_value(speech, self._kit.kit, name, seen.value)}"
            for name, seen in entered.values.items()
            if name in self.fields
        ]
        written = self.context.say("Written down: {what}.", what=all_of(speech, told))
        self.say_written(f"{written} {ticked_text(speech, entered.ticked)}".strip())

    @Slot()
    def _forget_question(self) -> None:
        """Take the question back as soon as a value was changed."""
        if self._question is not None:
            self._question = None
            self.action.setText(self.context.say("Write the readings down"))
            self.clear_told()

    def _rebuild(self, kit: ReadingKit) -> None:
        self._forget_question()
        self.form.clear_rows()
        self.fields, self._added = {}, 0
        for name in kit.asked:
            self._add_field(name, kit)
        self.day = DateEntry("date", self.context.voice, self.context.desk.today("UTC"))
        self.form.add_row("date", self.context.say("Day"), self.day, read=self.day.day)
        self.more.clear()
        self.more.addItem(self.context.say("Another quantity…"), "")
        for name in kit.others:
            self.more.addItem(field_label(self.context.speech, name), name)
        self._order()

    def _order(self) -> None:
        """Let Tab go down the fields, then to what stands below them."""
        kept = list(self.fields.values())
        first = kept[: len(kept) - self._added]
        stops = [self._stop, *first, self.day, *kept[len(first) :], self.more, self.button]
        for before, after in pairwise(stops):
            QWidget.setTabOrder(before, after)

    def _add_field(self, name: str, kit: ReadingKit) -> None:
        speech = self.context.speech
        field = NumberEntry(name, self.context.voice)
        field.setPlaceholderText(kit_unit(speech, kit.kit, name))
        field.textEdited.connect(self._forget_question)
        self.fields[name] = field
        hint = self._hint(name, kit)
        self.form.add_row(name, field_label(speech, name), field, read=field.number, hint=hint)

    @Slot()
    def _add_chosen(self) -> None:
        name = self.more.currentData()
        if not name or self._kit is None:
            return
        self._add_field(name, self._kit)
        self._added += 1
        self.more.removeItem(self.more.currentIndex())
        self.more.setCurrentIndex(0)
        self._order()
        self.fields[name].setFocus()

    def _hint(self, name: str, kit: ReadingKit) -> str:
        speech = self.context.speech
        parts = []
        last = kit.last.get(name)
        if last is not None:
            value = kit_value(speech, kit.kit, name, last.value)
            day = medium_date(speech, last.on)
            parts.append(self.context.say("Last {value} on {day}", value=value, day=day))
        allowed = kit.ranges.get(name)
        if allowed is not None:
            parts.append(_range_text(speech, kit.kit, name, allowed))
        return "; ".join(parts)


def _range_text(speech: Speech, kit: Kit, name: str, allowed: Range) -> str:
    low = None if allowed.low is None else kit_figure(speech, kit, name, allowed.low)
    high = None if allowed.high is None else kit_value(speech, kit, name, allowed.high)
    if low is None:
        return speech.say("at most {high}", high=high)
    if high is None:
        return speech.say("at least {low}", low=low)
    return speech.say("should lie within {low} to {high}", low=low, high=high)


def _write_unless_doubtful(desk: Desk, tub: TubId, entry: Entry) -> _Answer:
    return query_test(desk, tub, entry) or add_test(desk, tub, entry)


def _write(desk: Desk, tub: TubId, entry: Entry) -> _Answer:
    return add_test(desk, tub, entry)
