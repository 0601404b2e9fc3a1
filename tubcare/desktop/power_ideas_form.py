"""One idea to compare: what would be changed, to what, and what it takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox

from tubcare.desktop.choices import ListBox
from tubcare.desktop.entry import MoneyEntry, NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.energy.ideas import Idea, IdeaKind
from tubcare.energy.tariff_plan import TariffKind, TariffPlan
from tubcare.errors import InputError
from tubcare.words.power_terms import build_up_word
from tubcare.words.sentences.tariff_bands import parse_bands
from tubcare.words.sentences.what_if import idea_kind_word

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.energy.from_profile import BuildCatalogue

_BUILDS = frozenset({IdeaKind.WALL, IdeaKind.LID})


class IdeaForm(Form):
    """Asks for a number or a build-up, whichever the kind of idea needs."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self._context = context
        self._catalogue: BuildCatalogue | None = None
        say = context.say
        self.kind = QComboBox()
        for kind in IdeaKind:
            self.kind.addItem(idea_kind_word(context.speech, kind), kind.value)
        self.amount = NumberEntry("amount", context.voice)
        self.build_up = ListBox()
        self.bands = TextEntry("bands", context.voice)
        self.price = MoneyEntry("price", context.voice)
        self.add_row("kind", say("Change"), self.kind)
        self.add_row("amount", say("To"), self.amount, read=self.amount.number)
        self.add_row("build_up", say("Build-up"), self.build_up)
        self.add_row(
            "bands",
            say("Times with their price"),
            self.bands,
            hint=say("Such as 22:00-06:00 0.12; above, the price of all other times."),
        )
        self.add_row(
            "price",
            say("What it takes"),
            self.price,
            read=self.price.minor,
            hint=say("For the pay-back; may stay empty."),
        )
        self.kind.currentIndexChanged.connect(self._turn)

    def offer(self, catalogue: BuildCatalogue) -> None:
        """Offer the named build-ups."""
        self._catalogue = catalogue
        self._turn()

    def idea(self) -> Idea:
        """Return what is typed; raises `InputError`."""
        kind, minor = IdeaKind(self.kind.currentData()), self.price.minor()
        if kind in _BUILDS:
            return Idea(kind=kind, build_up=self.build_up.currentData(), price_minor=minor)
        amount = self.amount.number()
        if amount is None:
            raise InputError("amount", self._context.say("write a number"))
        if kind is IdeaKind.TARIFF:
            bands = parse_bands(self._context.speech, "bands", self.bands.read())
            plan = TariffPlan(kind=TariffKind.TIME_OF_USE, price=amount, bands=bands)
            return Idea(kind=kind, tariff=plan, price_minor=minor)
        return Idea(kind=kind, amount=float(amount), price_minor=minor)

    @Slot()
    def _turn(self) -> None:
        kind = IdeaKind(self.kind.currentData())
        builds = kind in _BUILDS
        self.amount.setEnabled(not builds)
        self.build_up.setEnabled(builds)
        self.bands.setEnabled(kind is IdeaKind.TARIFF)
        if builds and self._catalogue is not None:
            self.build_up.fill(
                (build_up_word(self._context.speech, key), key)
                for key in self._catalogue.keys(kind.value)
            )
