"""The forms for what stands on the shelf: a product's label, a scoop, a fill water."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox

from tubcare.desktop.entry import DateEntry, NumberEntry, QuantityEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.errors import InputError
from tubcare.water.compounds import Compound
from tubcare.water.judged import FIELD_OF_READING
from tubcare.water.measures import Measure
from tubcare.water.products import Form as Kind
from tubcare.water.products import Product, StrengthKind, usual_product
from tubcare.water.reading import WaterTest
from tubcare.words.quantities import Unit, with_unit
from tubcare.words.terms import say_term
from tubcare.words.water_products import FORMS, compound_name, strength_name
from tubcare.words.water_values import field_label, kit_unit

if TYPE_CHECKING:
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.water.kit import Kit

_SOURCE_FIELDS = ("ph", "alkalinity_mg_l", "hardness_mg_l", "tds_mg_l", "chloride_mg_l")
_FILL_C = 10.0
_CELLAR_C = 15.0


class ProductForm(Form):
    """What the label of a product says."""

    def __init__(self, context: Context, today: date) -> None:
        super().__init__(context.speech)
        say, speech = context.say, context.speech
        self.name = TextEntry("product", context.voice, required=True)
        self.compound = QComboBox()
        for each in Compound:
            self.compound.addItem(compound_name(speech, each), each.value)
        self.strength = NumberEntry("strength", context.voice, required=True)
        self.kind = QComboBox()
        for kind in StrengthKind:
            self.kind.addItem(strength_name(speech, kind), kind.value)
        self.filled = DateEntry("filled_on", context.voice, today, required=False)
        self.add_row("product", say("Name on the label"), self.name, read=self.name.read)
        self.add_row("compound", say("It holds"), self.compound)
        self.add_row("strength", say("Strength"), self.strength, read=self.strength.number)
        self.add_row("kind", say("Stated as"), self.kind)
        self.add_row(
            "filled_on",
            say("Filled or bought on"),
            self.filled,
            read=self.filled.day,
            hint=say("With it, hypochlorite is taken for weaker as it ages."),
        )
        self.storage = QuantityEntry("storage_c", context.voice, Unit.CELSIUS)
        kept_at = with_unit(context.speech, say("Kept at"), Unit.CELSIUS)
        self.add_row("storage_c", kept_at, self.storage, read=self.storage.quantity)
        self.compound.currentIndexChanged.connect(self._offer)
        self._offer()

    def product(self) -> Product:
        """Return what was typed; raises `InputError` or `OutOfRangeError`."""
        usual = usual_product(Compound(self.compound.currentData()))
        strength = self.strength.number()
        return replace(
            usual,
            name=self.name.read(),
            kind=StrengthKind(self.kind.currentData()),
            strength=usual.strength if strength is None else float(strength),
        )

    def storage_c(self) -> float:
        """Return where it stands, a cellar where nothing was typed [°C]."""
        typed = self.storage.quantity()
        return _CELLAR_C if typed is None else typed

    @Slot()
    def _offer(self) -> None:
        """Show the usual strength of what was chosen; the label wins."""
        usual = usual_product(Compound(self.compound.currentData()))
        self.strength.fill(usual.strength)
        self.kind.setCurrentIndex(self.kind.findData(usual.kind.value))


class MeasureForm(Form):
    """A scoop, spoon, syringe or cup."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        say, speech = context.say, context.speech
        self.name = TextEntry("measure", context.voice, required=True)
        self.ml = NumberEntry("capacity_ml", context.voice, required=True)
        self.parts = NumberEntry("divisions", context.voice, required=True, decimals=0)
        self.parts.fill(2)
        self.use = QComboBox()
        self.use.addItem(say("solids and liquids"), "")
        for each in Kind:
            self.use.addItem(say_term(speech, FORMS[each]), each.value)
        self.add_row("measure", say("What you call it"), self.name, read=self.name.read)
        self.add_row("capacity_ml", say("Level full, in ml"), self.ml, read=self.ml.number)
        self.add_row(
            "divisions",
            say("Parts you can read off"),
            self.parts,
            read=self.parts.number,
            hint=say("1: only full, 2: halves, 10: a syringe with ten marks."),
        )
        self.add_row("form", say("Used for"), self.use)

    def measure(self) -> Measure:
        """Return what was typed; raises `InputError` or `OutOfRangeError`."""
        chosen = self.use.currentData()
        return Measure(
            name=self.name.read(),
            capacity_ml=float(self.ml.number() or 0),
            divisions=int(self.parts.number() or 1),
            for_form=Kind(chosen) if chosen else None,
        )


class SourceForm(Form):
    """The test of a fill water, in the units of the tub's kit."""

    def __init__(self, context: Context, kit: Kit) -> None:
        super().__init__(context.speech)
        say, speech = context.say, context.speech
        self._kit = kit
        self.name = TextEntry("source", context.voice, required=True)
        self.add_row("source", say("Name, such as tap, well or rain"), self.name)
        self.values: dict[str, NumberEntry] = {}
        for name in _SOURCE_FIELDS:
            entry = NumberEntry(name, context.voice, required=name in _SOURCE_FIELDS[:2])
            entry.setPlaceholderText(kit_unit(speech, kit, name))
            self.add_row(name, field_label(speech, name), entry)
            self.values[name] = entry

    def test(self) -> WaterTest:
        """Return what was typed; raises `InputError` or `OutOfRangeError`."""
        read: dict[str, float] = {"calcium_mg_l": 0.0, "water_c": _FILL_C}
        for name, entry in self.values.items():
            value = entry.number()
            if value is not None:
                read[FIELD_OF_READING[name]] = self._kit.inside(name, float(value))
            elif entry.required:
                raise InputError(name, "write a number")
        return WaterTest(**read)
