"""The test kit of a tub: what it shows, in which units, and which pads are matched by colour."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QCheckBox, QComboBox, QGridLayout, QLabel, QPushButton
from typing_extensions import override

from tubcare.desktop.entry import TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.scrolling import FIELD_CHARACTERS
from tubcare.desktop.theme import worded
from tubcare.desktop.water_part import WaterPart
from tubcare.errors import InputError
from tubcare.services.water_entry import strip_steps
from tubcare.services.water_kit import change_kit
from tubcare.water.galvanic import Metal
from tubcare.water.kit import MEASURED, OBSERVED, USUAL_STEPS, Kit
from tubcare.water.units import Dimension, Unit, units_of
from tubcare.words.numbers import number, parse_number
from tubcare.words.sentences.water_care import metal_name
from tubcare.words.water_values import field_label

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown
    from tubcare.values import TubId

_COLUMNS = 3


class WaterKitPage(WaterPart):
    """Chooses what is asked for when a test is entered."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.page = self.add_tall_page()
        self._tub: TubId | None = None
        self._kit: Kit | None = None
        say, speech = context.say, context.speech
        labels = {name: field_label(speech, name) for name in (*MEASURED, *OBSERVED)}
        self.fields = self._boxes(say("What the kit shows and you note"), labels)
        self.page.rows.addWidget(worded(QLabel(say("Units of the kit")), "group"))
        self.form = Form(speech)
        self.units: dict[Dimension, QComboBox] = {}
        for dimension, title in (
            (Dimension.ALKALINITY, say("Alkalinity")),
            (Dimension.HARDNESS, say("Calcium hardness")),
            (Dimension.CONCENTRATION, say("Sanitiser and the like")),
            (Dimension.TEMPERATURE, say("Temperature")),
        ):
            combo = QComboBox()
            for unit in units_of(dimension):
                combo.addItem(unit.value, unit.value)
            self.units[dimension] = combo
            self.form.add_row(dimension.value, title, combo)
        width = FIELD_CHARACTERS * self.form.fontMetrics().averageCharWidth()
        self.form.setMaximumWidth(width)
        self.page.rows.addWidget(self.form)
        self.page.rows.addWidget(worded(QLabel(say("Pads matched by colour")), "group"))
        self.steps = Form(speech)
        self.steps.setMaximumWidth(width)
        self.pads: dict[str, TextEntry] = {}
        for name in USUAL_STEPS:
            entry = TextEntry(name, context.voice)
            self.steps.add_row(name, field_label(speech, name), entry)
            self.pads[name] = entry
        self.page.rows.addWidget(self.steps)
        hint = say("The printed values, such as 6.2; 6.8; 7.2. Empty where you read a number.")
        self.page.rows.addWidget(worded(QLabel(hint), "muted"))
        names = {metal.value: metal_name(speech, metal) for metal in Metal}
        self.metals = self._boxes(say("Metals that touch the water, beside the liner"), names)
        keep = QPushButton(say("Keep the kit"))
        keep.clicked.connect(self.keep)
        self.page.rows.addWidget(keep, 0, Qt.AlignmentFlag.AlignLeft)
        self.page.rows.addStretch(1)

    def _boxes(self, title: str, labels: Mapping[str, str]) -> dict[str, QCheckBox]:
        self.page.rows.addWidget(worded(QLabel(title), "group"))
        grid = QGridLayout()
        boxes = {}
        for place, (name, label) in enumerate(labels.items()):
            boxes[name] = QCheckBox(label)
            grid.addWidget(boxes[name], place // _COLUMNS, place % _COLUMNS)
        self.page.rows.addLayout(grid)
        return boxes

    @override
    def show_water(self, shown: WaterShown) -> None:
        """Show a tub's kit; what is being changed stays while the kept kit stays."""
        super().show_water(shown)
        kit = shown.sheet.kit
        if self._tub == shown.sheet.tub.id and self._kit == kit:
            return
        self._tub, self._kit = shown.sheet.tub.id, kit
        for name, box in self.fields.items():
            box.setChecked(name in kit.fields)
        for dimension, combo in self.units.items():
            usual = Unit.CELSIUS if dimension is Dimension.TEMPERATURE else Unit.MG_L
            combo.setCurrentIndex(combo.findData(kit.units.get(dimension, usual).value))
        for name, entry in self.pads.items():
            steps = strip_steps(kit, name)
            told = "; ".join(number(shown.speech, step) for step in steps)
            entry.setText(told if name in kit.strips else "")
            entry.setPlaceholderText(told)
        for name, box in self.metals.items():
            box.setChecked(name in kit.metals)
        self.page.fit()

    @Slot()
    def keep(self) -> None:
        """Keep the kit, or say beside a pad what cannot be used."""
        if self._tub is None:
            return
        try:
            kit = self._typed()
        except InputError as error:
            self.steps.show_error(error)
            return
        self.context.work.on_logbook(
            partial(change_kit, self.context.desk, self._tub, kit),
            done=self._kept,
            title=self.context.say("Changing the kit"),
        )

    def _typed(self) -> Kit:
        strips = {}
        for name, entry in self.pads.items():
            parts = [part for part in entry.read().split(";") if part.strip()]
            if parts:
                speech = self.context.speech
                strips[name] = tuple(float(parse_number(speech, name, part)) for part in parts)
        return Kit(
            fields=tuple(name for name, box in self.fields.items() if box.isChecked()),
            units={each: Unit(combo.currentData()) for each, combo in self.units.items()},
            strips=strips,
            metals=frozenset(Metal(n) for n, box in self.metals.items() if box.isChecked()),
        )

    def _kept(self, _result: None) -> None:
        say = self.context.say
        self.context.strip.say(say("The test kit is kept."), undo=self.context.undo)
