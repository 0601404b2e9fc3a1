"""One idea to compare: what would be changed, to what, and what it takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox

from tubcare.desktop.choices import ListBox
from tubcare.desktop.entry import MoneyEntry, NumberEntry, QuantityEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.energy.ideas import Idea, IdeaKind
from tubcare.energy.tariff_plan import TariffKind, TariffPlan
from tubcare.errors import InputError
from tubcare.words.power_terms import build_up_word
from tubcare.words.quantities import Unit, with_unit
from tubcare.words.sentences.tariff_bands import example_bands, parse_bands
from tubcare.words.sentences.what_if import amount_hint, idea_kind_word

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.desktop.screen import Context
    from tubcare.energy.from_profile import BuildCatalogue

_BUILDS = frozenset({IdeaKind.WALL, IdeaKind.LID})
_FIELDS: Mapping[IdeaKind, tuple[str, ...]] = {
    IdeaKind.SET_POINT: ("set_point_c",),
    IdeaKind.WALL: ("build_up",),
    IdeaKind.LID: ("build_up",),
    IdeaKind.TARIFF: ("amount", "bands"),
}


class IdeaForm(Form):
    """Asks for what the kind of idea needs: a temperature, a number, a build-up or prices."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self._context = context
        self._catalogue: BuildCatalogue | None = None
        say = context.say
        self.kind = QComboBox()
        for kind in IdeaKind:
            self.kind.addItem(idea_kind_word(context.speech, kind), kind.value)
        self.set_point = QuantityEntry("set_point_c", context.voice, Unit.CELSIUS)
        self.amount = NumberEntry("amount", context.voice)
        self.build_up = ListBox()
        self.bands = TextEntry("bands", context.voice)
        self.price = MoneyEntry("price", context.voice)
        self.add_row("kind", say("Change"), self.kind)
        self.add_row(
            "set_point_c",
            with_unit(context.speech, say("To"), Unit.CELSIUS),
            self.set_point,
            read=self.set_point.quantity,
        )
        self.add_row("amount", say("To"), self.amount, read=self.amount.number)
        self.add_row("build_up", say("Build-up"), self.build_up)
        self.add_row(
            "bands",
            say("Times with their price"),
            self.bands,
            hint=say(
                "Such as: {example}. The first one counts.",
                example=example_bands(context.speech),
            ),
        )
        self.add_row(
            "price",
            say("What it takes"),
            self.price,
            read=self.price.minor,
            hint=say("For the pay-back; may stay empty."),
        )
        self.kind.currentIndexChanged.connect(self._turn)
        self._turn()

    def offer(self, catalogue: BuildCatalogue) -> None:
        """Offer the named build-ups."""
        self._catalogue = catalogue
        self._turn()

    def idea(self) -> Idea:
        """Return what is typed; raises `InputError`."""
        kind, minor = self._kind(), self.price.minor()
        if kind in _BUILDS:
            return Idea(kind=kind, build_up=self.build_up.currentData(), price_minor=minor)
        if kind is IdeaKind.SET_POINT:
            set_point_c = self.set_point.quantity()
            if set_point_c is None:
                raise InputError("set_point_c", self._context.say("write a number"))
            return Idea(kind=kind, amount=set_point_c, price_minor=minor)
        amount = self.amount.number()
        if amount is None:
            raise InputError("amount", self._context.say("write a number"))
        if kind is IdeaKind.TARIFF:
            bands = parse_bands(self._context.speech, "bands", self.bands.read())
            plan = TariffPlan(kind=TariffKind.TIME_OF_USE, price=amount, bands=bands)
            return Idea(kind=kind, tariff=plan, price_minor=minor)
        return Idea(kind=kind, amount=float(amount), price_minor=minor)

    def _kind(self) -> IdeaKind:
        return IdeaKind(self.kind.currentData())

    @Slot()
    def _turn(self) -> None:
        kind = self._kind()
        self.show_rows({"kind", "price", *_FIELDS.get(kind, ("amount",))})
        self.set_hint("amount", amount_hint(self._context.speech, kind))
        if kind in _BUILDS and self._catalogue is not None:
            self.build_up.fill(
                (build_up_word(self._context.speech, key), key)
                for key in self._catalogue.keys(kind.value)
            )
