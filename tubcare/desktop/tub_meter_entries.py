"""Quick entry of meters and fresh water, with what was there before."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QCheckBox, QComboBox
from typing_extensions import override

from tubcare.care.terms import Counter
from tubcare.desktop.entry import DateEntry, NumberEntry, QuantityEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.tub_entries import Box
from tubcare.errors import InputError
from tubcare.services.measures import MeterValue
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.services.reading_kit import unlikely_fill, unlikely_meter
from tubcare.words.dates import medium_date
from tubcare.words.numbers import number
from tubcare.words.quantities import Unit, quantity, with_unit
from tubcare.words.sentences.records import fill_words, meter_word

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.services.reading_kit import LastValue, ReadingKit
    from tubcare.services.tubs import Tub

METERS = (Counter.KWH, Counter.PUMP_H, Counter.CHILLER_H, Counter.LITRE)


class MeterBox(Box):
    """What a meter or hour counter shows."""

    def __init__(self, context: Context, action: QAction) -> None:
        say, voice = context.say, context.voice
        form = Form(context.speech)
        super().__init__(context, form, action)
        action.triggered.connect(self.write_down)
        self.counter = QComboBox()
        for counter in METERS:
            self.counter.addItem(meter_word(context.speech, counter), counter.value)
        self.value = NumberEntry("value", voice, decimals=3)
        self.exchanged = QCheckBox(say("A new meter begins with this value"))
        self.rolled = NumberEntry("rolls_over", voice, decimals=3)
        self.day = DateEntry("date", voice, context.desk.today("UTC"))
        form.add_row("counter", say("Meter"), self.counter)
        form.add_row("value", say("It shows"), self.value, read=self.value.number)
        form.add_row("date", say("Day"), self.day, read=self.day.day)
        form.add_row("new_meter", say("Exchanged"), self.exchanged)
        form.add_row(
            "rolls_over",
            say("Starts again at"),
            self.rolled,
            read=self.rolled.number,
            hint=say("Only when it ran past its last digit: 100000 for five digits"),
        )
        self._last: Mapping[str, LastValue] = {}
        self.tub_today = context.desk.today("UTC")
        self.counter.currentIndexChanged.connect(self._tell_last)

    @override
    def show_kit(self, tub: Tub, kit: ReadingKit, today: date, people: tuple[str, ...]) -> None:
        """Show what the meters showed last."""
        super().show_kit(tub, kit, today, people)
        self.day.move_to(today)
        self.tub_today = today
        self._last = kit.meters
        self._tell_last()

    @Slot()
    def write_down(self) -> None:
        """Write the value down."""
        if self.tub is None or not self.form.check():
            return
        value = self.value.number()
        if value is None:
            self.tell(InputError("value", self.context.say("write what the meter shows")))
            return
        rolled = self.rolled.number()
        meter = MeterValue(
            counter=self.counter.currentData(),
            value_milli=round(value * 1000),
            new_meter=self.exchanged.isChecked(),
            rolls_over_milli=None if rolled is None else round(rolled * 1000),
        )
        on = self.day.day() or self.tub_today
        if not meter.new_meter and not self._is_meant(meter, float(value), on):
            return
        call = partial(add_meter_reading, self.context.desk, self.tub.id, meter, on=on)
        self.write(call, done=self._written, title=self.context.say("Writing down a meter"))

    def _is_meant(self, meter: MeterValue, value: float, on: date) -> bool:
        last = self._last.get(meter.counter)
        if self.tub is None or last is None:
            return True
        most = unlikely_meter(self.tub.profile, meter.counter, value, last, on)
        if most is None:
            return True
        speech = self.context.speech
        doubt = self.context.say(
            "That is {used} more than on {day}; {most} is the most to expect.",
            used=number(speech, round(value - last.value, 1)),
            day=medium_date(speech, last.on),
            most=number(speech, round(most)),
        )
        return self.stands_by((meter, on), "value", doubt)

    def _written(self, place: object) -> None:
        _ = place
        say = self.context.say
        told = say(
            "Written down: {meter} at {value}.",
            meter=self.counter.currentText(),
            value=self.value.text(),
        )
        self.value.clear()
        self.exchanged.setChecked(False)
        self.rolled.clear()
        self.say_written(told)

    @Slot()
    def _tell_last(self) -> None:
        last = self._last.get(self.counter.currentData())
        if last is None:
            hint = self.context.say("No value yet; the first one costs nothing")
        else:
            speech = self.context.speech
            hint = self.context.say(
                "Last {value} on {day}",
                value=number(speech, last.value),
                day=medium_date(speech, last.on),
            )
        self.form.set_hint("value", hint)


class FillBox(Box):
    """Fresh water: a first filling, a change, a top-up."""

    def __init__(self, context: Context, action: QAction) -> None:
        say, voice = context.say, context.voice
        form = Form(context.speech)
        super().__init__(context, form, action)
        action.triggered.connect(self.write_down)
        self.litres = QuantityEntry("litres", voice, Unit.LITRE)
        self.kind = QComboBox()
        for kind, text in fill_words(context.speech):
            self.kind.addItem(text, kind)
        self.day = DateEntry("date", voice, context.desk.today("UTC"))
        litres = with_unit(context.speech, say("Fresh water"), Unit.LITRE)
        form.add_row("litres", litres, self.litres, read=self.litres.quantity)
        form.add_row("kind", say("Kind"), self.kind)
        form.add_row("date", say("Day"), self.day, read=self.day.day)

    @override
    def show_kit(self, tub: Tub, kit: ReadingKit, today: date, people: tuple[str, ...]) -> None:
        """Say how much the tub holds."""
        super().show_kit(tub, kit, today, people)
        self.day.move_to(today)
        held = quantity(self.context.speech, tub.profile.volume_l, Unit.LITRE)
        self.form.set_hint("litres", self.context.say("The tub holds {litres}", litres=held))

    @Slot()
    def write_down(self) -> None:
        """Write the litres down."""
        if self.tub is None or not self.form.check():
            return
        litres = self.litres.quantity()
        if litres is None:
            self.tell(InputError("litres", self.context.say("write how much went in")))
            return
        if unlikely_fill(self.tub.profile, litres):
            held = quantity(self.context.speech, self.tub.profile.volume_l, Unit.LITRE)
            doubt = self.context.say("That is more than the tub holds, {litres}.", litres=held)
            if not self.stands_by((litres, self.day.text()), "litres", doubt):
                return
        call = partial(
            add_fill,
            self.context.desk,
            self.tub.id,
            litres,
            kind=self.kind.currentData(),
            on=self.day.day(),
        )
        self.write(
            call,
            done=partial(self._written, litres),
            title=self.context.say("Writing down fresh water"),
        )

    def _written(self, litres: float, place: object) -> None:
        _ = place
        told = quantity(self.context.speech, litres, Unit.LITRE)
        self.litres.clear()
        self.say_written(self.context.say("{litres} of fresh water written down.", litres=told))
