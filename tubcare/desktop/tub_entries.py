"""Quick entry of dips: all but the number is optional; what all quick entries have in common."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QCompleter
from typing_extensions import override

from tubcare.desktop.entry import DateEntry, MinutesEntry, NumberEntry, QuantityEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.tub_part import EntryBox
from tubcare.errors import InputError
from tubcare.services.measures import add_dip
from tubcare.words.quantities import Unit, with_unit

if TYPE_CHECKING:
    from datetime import date

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.services.reading_kit import ReadingKit
    from tubcare.services.tubs import Tub


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What the strip says once something was written down."""

    text: str


class Box(EntryBox):
    """An entry box that knows its tub and says what it wrote."""

    written = Signal(object)
    """Carries the `Written`."""

    def __init__(self, context: Context, form: Form, action: QAction) -> None:
        super().__init__(context, form, action)
        self.context = context
        self.tub: Tub | None = None
        self._asked_about: object = None
        form.submitted.connect(self.press)

    def show_kit(self, tub: Tub, kit: ReadingKit, today: date, people: tuple[str, ...]) -> None:
        """Take the tub that the entry is for, and what it showed last."""
        _ = kit, today, people
        self.tub = tub

    def stands_by(self, entered: object, field: str, doubt: str) -> bool:
        """Return whether the person stands by what was entered; ask, once, when it is new.

        Nothing is changed by it; other values are asked about anew.
        """
        if entered == self._asked_about:
            return True
        self._asked_about = entered
        more = self.context.say("Enter once more keeps it as written")
        self.form.show_error(InputError(field, f"{doubt} {more}"))
        return False

    def say_written(self, text: str) -> None:
        """Tell what was written down."""
        self._asked_about = None
        self.written.emit(Written(text=text))


class DipBox(Box):
    """One dip or several: who, how long, how cold, when."""

    def __init__(self, context: Context, action: QAction) -> None:
        say, voice = context.say, context.voice
        form = Form(context.speech)
        super().__init__(context, form, action)
        action.triggered.connect(self.write_down)
        self.count = NumberEntry("dips", voice, required=True, decimals=0)
        self.who = TextEntry("person", voice)
        self.minutes = MinutesEntry("minutes", voice)
        self.water = QuantityEntry("water_c", voice, Unit.CELSIUS)
        self.day: DateEntry = DateEntry("date", voice, context.desk.today("UTC"))
        form.add_row("dips", say("Dips"), self.count, read=self.count.number)
        form.add_row("person", say("Who"), self.who, read=self.who.read)
        form.add_row("minutes", say("Minutes each"), self.minutes, read=self.minutes.minutes)
        form.add_row(
            "water_c",
            with_unit(context.speech, say("Water temperature"), Unit.CELSIUS),
            self.water,
            read=self.water.quantity,
        )
        form.add_row(
            "date",
            say("Day"),
            self.day,
            read=self.day.day,
            hint=say("All but the number may stay empty"),
        )
        self.count.fill(1)

    @override
    def show_kit(self, tub: Tub, kit: ReadingKit, today: date, people: tuple[str, ...]) -> None:
        """Offer the names that are known."""
        super().show_kit(tub, kit, today, people)
        self.day.move_to(today)
        completer = QCompleter(list(people), self.who)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.who.setCompleter(completer)

    @Slot()
    def write_down(self) -> None:
        """Write the dips down."""
        if self.tub is None or not self.form.check():
            return
        count = int(self.count.number() or 1)
        call = partial(
            add_dip,
            self.context.desk,
            self.tub.id,
            dips=count,
            on=self.day.day(),
            person=self.who.read() or None,
            minutes=self.minutes.minutes(),
            water_c=self.water.quantity(),
        )
        self.write(
            call, done=partial(self._written, count), title=self.context.say("Writing down a dip")
        )

    def _written(self, count: int, place: object) -> None:
        _ = place
        self.count.fill(1)
        for entry in (self.who, self.minutes, self.water):
            entry.clear()
        tub = "" if self.tub is None else self.tub.name
        self.say_written(
            self.context.speech.say_count(
                "One dip in {tub} written down.", "{n} dips in {tub} written down.", count, tub=tub
            )
        )
