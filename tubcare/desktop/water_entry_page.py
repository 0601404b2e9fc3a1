"""Entering a test: the fields of the kit, the values before, one tap for what was seen."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QLabel, QPushButton
from typing_extensions import override

from tubcare.desktop.entry import NumberEntry, QuantityEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.strip import announce
from tubcare.desktop.theme import main_action, worded
from tubcare.desktop.water_looks import WaterLooks
from tubcare.desktop.water_part import WaterPart
from tubcare.desktop.water_taps import Taps
from tubcare.desktop.when_entry import When, WhenEntry
from tubcare.services.water_doubts import query_test
from tubcare.services.water_entry import Entry, add_test, strip_steps
from tubcare.water.kit import MEASURED, OBSERVED
from tubcare.words.measures import unit_of
from tubcare.words.numbers import number
from tubcare.words.sentences.water_entry import (
    doubt_text,
    last_text,
    ticked_text,
    warm_sample_text,
)
from tubcare.words.water_values import field_label, kit_unit

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QResizeEvent

    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown
    from tubcare.services.desk import Desk
    from tubcare.services.water_entry import Entered
    from tubcare.values import TubId
    from tubcare.water.doubt import EntryDoubt
    from tubcare.water.kit import Kit


_NUMBERS_LETTERS = 58
_NO_LIMIT = 16_777_215


class WaterEntryPage(WaterPart):
    """Takes a test by keyboard alone: type, Tab, Enter. A doubtful value is asked about once."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.page = self.add_tall_page()
        self._made_for: tuple[TubId, Kit] | None = None
        self._asked: Entry | None = None
        self._going: Entry | None = None
        self._wants_focus = False
        self.forms: tuple[Form, ...] = ()
        self._beside = QHBoxLayout()
        self._beside.setSpacing(36)
        self.typed: dict[str, NumberEntry | QuantityEntry] = {}
        self.taps: dict[str, Taps] = {}
        self.looks = WaterLooks(context, (), str)
        self.when = WhenEntry(context, context.say("When"))
        for field in (self.when.day, self.when.time):
            field.returnPressed.connect(self._hand_in)
            field.textEdited.connect(self._forget_doubts)
        self.doubts = worded(QLabel(), "error")
        self.doubts.setWordWrap(True)
        self.doubts.setTextFormat(Qt.TextFormat.PlainText)
        self.doubts.hide()
        self.keep = main_action(QPushButton(context.say("Write down the test")))
        self.keep.clicked.connect(self._hand_in)
        self.page.rows.addLayout(self._beside)
        self.page.rows.addWidget(self.when)
        self.page.rows.addWidget(self.doubts)
        self.page.rows.addWidget(self.keep, 0, Qt.AlignmentFlag.AlignLeft)
        self.page.rows.addStretch(1)

    @override
    def show_water(self, shown: WaterShown) -> None:
        """Show the fields of a tub's kit; what is being typed stays while the kit stays."""
        super().show_water(shown)
        wanted = (shown.sheet.tub.id, shown.sheet.kit)
        if self._made_for != wanted:
            self._made_for = wanted
            self._build(shown)
        self.when.move_to(shown.today)
        self._arrange()
        if self._wants_focus:
            self.take_focus()

    @override
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the forms below each other where they do not fit side by side."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        """Lay the forms side by side, or below each other where the window is narrow."""
        margins = self.page.rows.contentsMargins()
        room = self.page.viewport().width() - margins.left() - margins.right()
        needed = sum(form.minimumSizeHint().width() for form in self.forms)
        fits = needed + self._beside.spacing() <= room
        self._beside.setDirection(
            QBoxLayout.Direction.LeftToRight if fits else QBoxLayout.Direction.TopToBottom
        )
        letter = self.fontMetrics().averageCharWidth()
        for form in self.forms[:1]:
            # Wrapped hints are reckoned at the width of the page: it must be that of the form too.
            form.setMaximumWidth(_NUMBERS_LETTERS * letter if fits else _NO_LIMIT)
        self.page.fit()

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the first field."""
        first = next(iter(self.typed.values()), None) or next(iter(self.taps.values()), None)
        self._wants_focus = first is None
        if first is not None:
            first.setFocus(Qt.FocusReason.OtherFocusReason)

    def _build(self, shown: WaterShown) -> None:
        for form in self.forms:
            self._beside.removeWidget(form)
            form.hide()
            form.deleteLater()
        kit = shown.sheet.kit
        numbers = Form(shown.speech)
        observed = [name for name in OBSERVED if name in kit.fields]
        looks = WaterLooks(self.context, observed, partial(self._last, shown))
        self.looks, self.forms = looks, (numbers, looks)
        self.typed, self.taps = {}, {}
        for name in (n for n in MEASURED if n in kit.fields):
            if name in kit.strips:
                self._add_pad(numbers, shown, name)
            else:
                self._add_number(numbers, shown, name)
        for taps in looks.taps.values():
            taps.answered.connect(self._forget_doubts)
        self.taps |= looks.taps
        for form in self.forms:
            form.submitted.connect(self._submit)
            self._beside.addWidget(form, 1, Qt.AlignmentFlag.AlignTop)
            # A layout shows it a turn of the loop later: too late for the keyboard.
            form.show()

    def _add_number(self, form: Form, shown: WaterShown, name: str) -> None:
        kit, voice = shown.sheet.kit, self.context.voice
        own = unit_of(name)
        entry: NumberEntry | QuantityEntry
        if own is None or kit.unit_of(name) is not None:
            entry = NumberEntry(name, voice)
            read: Callable[[], object] = entry.number
        else:
            entry = QuantityEntry(name, voice, own)
            read = entry.quantity
        form.add_row(
            name, self._label(shown, name), entry, read=read, hint=self._last(shown, name)
        )
        entry.textEdited.connect(self._forget_doubts)
        self.typed[name] = entry

    def _add_pad(self, form: Form, shown: WaterShown, name: str) -> None:
        steps = strip_steps(shown.sheet.kit, name)
        answers = [number(shown.speech, step) for step in steps]
        label = self._label(shown, name)
        taps = Taps(label, answers)
        taps.answered.connect(self._forget_doubts)
        form.add_row(name, label, taps, hint=self._last(shown, name))
        self.taps[name] = taps

    def _label(self, shown: WaterShown, name: str) -> str:
        label = field_label(shown.speech, name)
        unit = kit_unit(shown.speech, shown.sheet.kit, name)
        return shown.speech.say("{label}, {unit}", label=label, unit=unit) if unit else label

    def _last(self, shown: WaterShown, name: str) -> str:
        seen = shown.sheet.last.get(name)
        if seen is None:
            return ""
        return last_text(shown.speech, shown.sheet.kit, name, seen, shown.now.now)

    def entry(self) -> Entry:
        """Return what was typed and tapped."""
        values: dict[str, float] = {}
        colours: dict[str, int] = {}
        for name, entry in self.typed.items():
            value = entry.number() if isinstance(entry, NumberEntry) else entry.quantity()
            if value is not None:
                values[name] = float(value)
        for name, taps in self.taps.items():
            if taps.chosen is not None and name in OBSERVED:
                values[name] = float(taps.chosen)
            elif taps.chosen is not None:
                colours[name] = taps.chosen
        when = self.when.read() or When()
        return Entry(
            values=values, colours=colours, on=when.on, at=when.at, note=self.looks.note.read()
        )

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self._hand_in()

    @Slot()
    def _hand_in(self) -> None:
        if self._shown is None or not all(form.check() for form in self.forms):
            return
        if self.when.read() is None:
            return
        entry = self.entry()
        self._going = entry
        sure = entry == self._asked
        self.context.work.on_logbook(
            partial(_keep, self.context.desk, self._shown.sheet.tub.id, entry, sure=sure),
            done=self._answer,
            failed=self._failed,
            title=self.context.say("Writing down a test"),
        )

    def _answer(self, result: tuple[EntryDoubt, ...] | Entered) -> None:
        if isinstance(result, tuple):
            self._ask(result)
            return
        speech, say = self.context.speech, self.context.say
        told = say("Written down for {tub}.", tub=result.tub.name)
        if result.ph_as_read is not None:
            carried = result.values["ph"].value
            told = f"{told} {warm_sample_text(speech, result.ph_as_read, carried)}"
        told = f"{told} {ticked_text(speech, result.ticked)}".strip()
        self._forget_doubts()
        for entry in self.typed.values():
            entry.clear()
        for taps in self.taps.values():
            taps.clear()
        self.looks.note.clear()
        self.when.clear()
        self._made_for = None
        self.context.strip.say(told, undo=self.context.undo)

    def _ask(self, found: tuple[EntryDoubt, ...]) -> None:
        if self._shown is None:
            return
        self._asked = self._going
        speech, kit = self._shown.speech, self._shown.sheet.kit
        told = [doubt_text(speech, kit, each) for each in found]
        self.doubts.setText("\n".join([*told, speech.say("Enter again keeps it as written.")]))
        self.doubts.show()
        self.keep.setText(speech.say("Keep it as written"))
        self.page.fit()
        announce(self.doubts, self.doubts.text())

    @Slot()
    def _forget_doubts(self, _what: object = None) -> None:
        if self._asked is None:
            return
        self._asked = None
        self.doubts.hide()
        self.keep.setText(self.context.say("Write down the test"))
        self.page.fit()

    def _failed(self, error: BaseException) -> None:
        if not any(form.show_error(error) for form in self.forms):
            self.context.strip.say(str(error))


def _keep(desk: Desk, tub: TubId, entry: Entry, *, sure: bool) -> tuple[EntryDoubt, ...] | Entered:
    """Return what is to be asked, else write the test down."""
    found = () if sure else query_test(desk, tub, entry)
    return found or add_test(desk, tub, entry)
