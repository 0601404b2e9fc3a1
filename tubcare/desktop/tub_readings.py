"""Quick entry of readings: only what this tub has, with the last values; slips are asked about."""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox, QWidget
from typing_extensions import override

from tubcare.desktop.buttons import first_stop
from tubcare.desktop.entry import DateEntry, NumberEntry, QuantityEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.reading_words import (
    has_own_unit,
    quantity_label,
    range_text,
    told_value,
    unlikely_text,
)
from tubcare.desktop.tub_entries import Box
from tubcare.errors import InputError
from tubcare.services.measures import add_readings
from tubcare.services.reading_kit import unlikely_values
from tubcare.words.dates import medium_date
from tubcare.words.lists import all_of
from tubcare.words.measures import measured_name, unit_of
from tubcare.words.water_values import kit_unit

if TYPE_CHECKING:
    from datetime import date

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.services.reading_kit import ReadingKit, Unlikely
    from tubcare.services.tubs import Tub


class ReadingsBox(Box):
    """The values that were measured together; empty ones were not measured."""

    def __init__(self, context: Context, action: QAction) -> None:
        super().__init__(context, Form(context.speech), action)
        self.action = action
        self.fields: dict[str, NumberEntry | QuantityEntry] = {}
        self.day = DateEntry("date", context.voice, context.desk.today("UTC"))
        self.more = QComboBox()
        self.more.setAccessibleName(context.say("Another quantity"))
        self.more.activated.connect(self._add_chosen)
        self.rows.insertWidget(1, self.more)
        self.form.add_row("date", context.say("Day"), self.day, read=self.day.day)
        self._kit: ReadingKit | None = None
        self._asked_about: dict[str, float] = {}
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

    @override
    @Slot()
    def write_down(self) -> None:
        """Write the values down; a likely slip is asked about first, and never changed."""
        if self.tub is None or not self.form.check():
            return
        values = self._values()
        if not values:
            first = next(iter(self.fields))
            self.tell(InputError(first, self.context.say("write at least one value")))
            return
        odd = unlikely_values(values, {} if self._kit is None else self._kit.last)
        if odd and self._asked_about != values:
            self._ask(values, odd)
            return
        call = partial(add_readings, self.context.desk, self.tub.id, values, on=self.day.day())
        self.write(
            call,
            done=partial(self._written, values),
            title=self.context.say("Writing down readings"),
        )

    def _values(self) -> dict[str, float]:
        read = {name: self._read(name, field) for name, field in self.fields.items()}
        return {name: value for name, value in read.items() if value is not None}

    def _ask(self, values: dict[str, float], odd: tuple[Unlikely, ...]) -> None:
        say = self.context.say
        self._asked_about = values
        kit = None if self._kit is None else self._kit.kit
        told = [unlikely_text(self.context.speech, kit, each) for each in odd]
        told.append(say("Nothing is written down yet. Press the button once more if it is so."))
        self.tell_text(" ".join(told))
        self.action.setText(say("Write down as it stands"))
        self.fields[odd[0].quantity].setFocus()

    def _written(self, values: dict[str, float], place: object) -> None:
        _ = place
        speech = self.context.speech
        for field in self.fields.values():
            field.clear()
        self._calm()
        kit = None if self._kit is None else self._kit.kit
        told = [
            f"{measured_name(speech, name)} {told_value(speech, kit, name, value)}"
            for name, value in values.items()
        ]
        self.say_written(self.context.say("Written down: {what}.", what=all_of(speech, told)))

    @Slot()
    def _calm(self) -> None:
        """Forget the question as soon as a value was changed."""
        if self._asked_about:
            self._asked_about = {}
            self.action.setText(self.context.say("Write the readings down"))
            self.clear_told()

    def _rebuild(self, kit: ReadingKit) -> None:
        form = Form(self.context.speech)
        form.submitted.connect(self._submit)
        self.rows.replaceWidget(self.form, form)
        self.form.deleteLater()
        self.form, self.fields = form, {}
        self._asked_about, self._added = {}, 0
        self.clear_told()
        for name in kit.asked:
            self._add_field(name, kit)
        self.day = DateEntry("date", self.context.voice, self.context.desk.today("UTC"))
        form.add_row("date", self.context.say("Day"), self.day, read=self.day.day)
        self.more.clear()
        self.more.addItem(self.context.say("Another quantity…"), "")
        for name in kit.others:
            self.more.addItem(quantity_label(self.context.speech, name), name)
        self._order()

    def _order(self) -> None:
        """Let Tab go down the fields that were made last, then to what stands below them."""
        kept = list(self.fields.values())
        first = kept[: len(kept) - self._added]
        stops = [self._stop, *first, self.day, *kept[len(first) :], self.more, self.button]
        for before, after in pairwise(stops):
            QWidget.setTabOrder(before, after)

    def _add_field(self, name: str, kit: ReadingKit) -> None:
        unit, voice = unit_of(name), self.context.voice
        field: NumberEntry | QuantityEntry
        if unit is None or has_own_unit(kit.kit, name):
            field = NumberEntry(name, voice)
            field.setPlaceholderText(kit_unit(self.context.speech, kit.kit, name))
        else:
            field = QuantityEntry(name, voice, unit)
        read = partial(self._read, name, field)
        field.textEdited.connect(self._calm)
        self.fields[name] = field
        label = quantity_label(self.context.speech, name)
        self.form.add_row(name, label, field, read=read, hint=self._hint(name, kit))

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

    def _read(self, name: str, field: NumberEntry | QuantityEntry) -> float | None:
        """Return a value in the logbook's own unit, whatever the kit is read in."""
        if isinstance(field, QuantityEntry):
            return field.quantity()
        value = field.number()
        if value is None or self._kit is None:
            return None if value is None else float(value)
        own = has_own_unit(self._kit.kit, name)
        return self._kit.kit.inside(name, float(value)) if own else float(value)

    def _hint(self, name: str, kit: ReadingKit) -> str:
        speech, say = self.context.speech, self.context.say
        parts = []
        last = kit.last.get(name)
        if last is not None:
            value = told_value(speech, kit.kit, name, last.value)
            day = medium_date(speech, last.on)
            parts.append(say("Last {value} on {day}", value=value, day=day))
        allowed = kit.ranges.get(name)
        if allowed is not None:
            parts.append(range_text(speech, kit.kit, name, allowed))
        return "; ".join(parts)
