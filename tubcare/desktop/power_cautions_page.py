"""The cautions of power and cold, by topic, each with where it comes from."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout
from typing_extensions import override

from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import TubPart
from tubcare.energy.build_data import Topic
from tubcare.services.power_cautions import power_cautions
from tubcare.words.plan_terms import caution_told
from tubcare.words.power_terms import power_word

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.energy.build_data import Caution

_ORDER = (
    Topic.ELECTRICITY,
    Topic.COLD_WATER,
    Topic.FROST,
    Topic.EVAPORATOR,
    Topic.REFRIGERANT,
)


class PowerCautionsPage(TubPart):
    """Lists what is published; local codes and licensed practice go before it."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.page = self.add_tall_page()
        first = QLabel(
            context.say(
                "Local codes and licensed practice go before anything said here."
                " General information, not medical advice."
            )
        )
        first.setWordWrap(True)
        self.page.rows.addWidget(first)
        self._labels: list[QLabel] = []
        self._list = QVBoxLayout()
        self._list.setSpacing(4)
        self.page.rows.addLayout(self._list)
        self.page.rows.addStretch(1)
        self.page.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.page.setAccessibleName(context.say("Cautions"))

    @override
    def read(self) -> None:
        """Read the cautions for the kind of unit that the tub has."""
        if self.tub is not None:
            self.context.work.on_logbook(
                partial(power_cautions, self.context.desk, self.tub.id),
                done=self._show,
                title=self.context.say("Reading the cautions"),
                replaces="power cautions",
            )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the list, to scroll it."""
        self.page.setFocus()

    def _show(self, found: tuple[Caution, ...]) -> None:
        for label in self._labels:
            self._list.removeWidget(label)
            label.deleteLater()
        self._labels, speech = [], self.context.speech
        for topic in _ORDER:
            told = [each for each in found if each.topic is topic]
            if told:
                self._add(power_word(speech, topic), "group")
            for each in told:
                self._add(caution_told(speech, each.text), "")
                self._add(speech.say("Source: {text}", text=speech.own(each.source)), "muted")
        self.page.fit()

    def _add(self, text: str, kind: str) -> None:
        label = QLabel(text)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        if kind:
            worded(label, kind)
        if kind == "group":
            label.setContentsMargins(0, 10, 0, 0)
        self._labels.append(label)
        self._list.addWidget(label)
