"""What was seen, smelt and touched: one tap each, or one for water in which there is nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QPushButton

from tubcare.desktop.entry import TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.water_taps import Taps
from tubcare.words.terms import say_term
from tubcare.words.water_values import OBSERVATIONS, field_label

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from tubcare.desktop.screen import Context


class WaterLooks(Form):
    """The observations that the person notes, and room for a note."""

    def __init__(self, context: Context, names: Sequence[str], last: Callable[[str], str]) -> None:
        super().__init__(context.speech)
        say = context.say
        self.taps: dict[str, Taps] = {}
        self.glance = QPushButton(say("Nothing to see or smell"))
        self.glance.clicked.connect(self._answer_all)
        if names:
            self.add_row("glance", say("At a glance"), self.glance)
            self.glance.setAccessibleDescription(say("Gives all below their first answer"))
        for name in names:
            label = field_label(context.speech, name)
            self.taps[name] = Taps(
                label, [say_term(context.speech, each) for each in OBSERVATIONS[name]]
            )
            self.add_row(name, label, self.taps[name], hint=last(name))
        self.note = TextEntry("note", context.voice)
        self.add_row("note", say("Note"), self.note, read=self.note.read)

    @Slot()
    def _answer_all(self) -> None:
        for taps in self.taps.values():
            if taps.chosen is None:
                taps.choose(0)
