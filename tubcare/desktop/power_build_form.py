"""The fields of the build editor."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QComboBox

from tubcare.desktop.entry import NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.kept_entry import KeptQuantity
from tubcare.energy.chiller import RATED_AIR_C, RATED_WATER_C, Evaporator
from tubcare.words.plan_terms import caution_told
from tubcare.words.power_terms import build_up_word, material_word, power_word
from tubcare.words.quantities import Unit, quantity, with_unit
from tubcare.words.sentences.layers import example_layers, layers_text, parse_layers

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.energy.from_profile import Described
    from tubcare.services.power_cautions import UnitCautions
    from tubcare.services.power_change import BuildShown


class BuildForm(Form):
    """Walls, lid, machine and habits of a tub."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        voice = self._voice = context.voice
        self.wall, self.lid, self.evaporator = QComboBox(), QComboBox(), QComboBox()
        self.wall_layers = TextEntry("wall_layers", voice)
        self.lid_layers = TextEntry("lid_layers", voice)
        self.bridges = NumberEntry("bridges_w_k", voice, required=True)
        self.shading = NumberEntry("shading", voice, required=True)
        self.absorptance = NumberEntry("lid_absorptance", voice, required=True)
        self.cooling = KeptQuantity("cooling_w", voice, Unit.WATT, required=True)
        self.least_air = KeptQuantity("least_air_c", voice, Unit.CELSIUS)
        self.pump = KeptQuantity("pump_w", voice, Unit.WATT, required=True)
        self.pump_hours = NumberEntry("pump_hours_per_day", voice, required=True)
        self.set_point = KeptQuantity("set_point_c", voice, Unit.CELSIUS, required=True)
        self.dips = NumberEntry("dips_per_day", voice, required=True)
        self._cautions: UnitCautions | None = None
        for kind in Evaporator:
            self.evaporator.addItem(power_word(context.speech, kind), kind.value)
        self._add_walls(context)
        self._add_machine(context)
        self.evaporator.currentIndexChanged.connect(self._show_cautions)

    def _add_walls(self, context: Context) -> None:
        say = context.say
        self.add_row("wall", say("Wall and bottom"), self.wall)
        self.add_row(
            "wall_layers",
            say("Own layers of the wall"),
            self.wall_layers,
            hint=say(
                "From the water outwards, such as: {example}. They go first.",
                example=example_layers(context.speech),
            ),
        )
        self.add_row("lid", say("Lid"), self.lid)
        self.add_row("lid_layers", say("Own layers of the lid"), self.lid_layers)
        self.add_row(
            "bridges_w_k", say("Hoses and rims, W/K"), self.bridges, read=self.bridges.number
        )
        self.add_row(
            "lid_absorptance",
            say("Sun taken up by the lid, 0 to 1"),
            self.absorptance,
            read=self.absorptance.number,
            hint=say("White 0.25, wood 0.55, dark 0.9."),
        )
        self.add_row(
            "shading", say("Sun kept off, 0 to 1"), self.shading, read=self.shading.number
        )

    def _add_machine(self, context: Context) -> None:
        say = context.say
        self.add_row("evaporator", say("Kind of unit"), self.evaporator)
        self.add_row(
            "cooling_w",
            with_unit(context.speech, say("Heat it takes out"), Unit.WATT),
            self.cooling,
            read=self.cooling.quantity,
            hint=say(
                "By the label, at {water} water and {air} air. 0 for none.",
                water=quantity(context.speech, RATED_WATER_C, Unit.CELSIUS),
                air=quantity(context.speech, RATED_AIR_C, Unit.CELSIUS),
            ),
        )
        self.add_row(
            "least_air_c",
            with_unit(context.speech, say("Lowest ambient on its label"), Unit.CELSIUS),
            self.least_air,
            read=self.least_air.quantity,
        )
        self.add_row(
            "pump_w",
            with_unit(context.speech, say("Pump draws"), Unit.WATT),
            self.pump,
            read=self.pump.quantity,
        )
        self.add_row(
            "pump_hours_per_day",
            say("Pump runs, hours a day"),
            self.pump_hours,
            read=self.pump_hours.number,
        )
        self.add_row(
            "set_point_c",
            with_unit(context.speech, say("Set point"), Unit.CELSIUS),
            self.set_point,
            read=self.set_point.quantity,
        )
        self.add_row("dips_per_day", say("Dips a day"), self.dips, read=self.dips.number)

    def described(self, shown: BuildShown) -> Described:
        """Return what is typed; raises `InputError` or `OutOfRangeError`."""
        speech = self._voice.speech
        names = {each.key: material_word(speech, each.key) for each in shown.catalogue.materials}
        least_air = self.least_air.quantity()
        return replace(
            shown.build.described,
            wall=self.wall.currentData(),
            lid=self.lid.currentData(),
            wall_layers=parse_layers(speech, "wall_layers", self.wall_layers.read(), names),
            lid_layers=parse_layers(speech, "lid_layers", self.lid_layers.read(), names),
            bridges_w_k=float(self.bridges.number() or 0),
            lid_absorptance=float(self.absorptance.number() or 0),
            shading=float(self.shading.number() or 0),
            evaporator=Evaporator(self.evaporator.currentData()),
            cooling_w=self.cooling.quantity() or 0.0,
            least_air_c=least_air,
            pump_w=self.pump.quantity() or 0.0,
            pump_hours_per_day=float(self.pump_hours.number() or 0),
            set_point_c=self.set_point.quantity() or 0.0,
            dips_per_day=float(self.dips.number() or 0),
        )

    @Slot()
    def _show_cautions(self) -> None:
        """Show what goes with the chosen kind of unit."""
        if self._cautions is None:
            return
        speech = self._voice.speech
        of_kind = self._cautions.by_kind[Evaporator(self.evaporator.currentData())]
        self.set_hint("evaporator", caution_told(speech, *of_kind))
        self.set_hint("least_air_c", caution_told(speech, self._cautions.lowest_ambient))

    def fill(self, shown: BuildShown) -> None:
        """Show a build."""
        speech, described = self._voice.speech, shown.build.described
        for box, part, key in (
            (self.wall, "wall", described.wall),
            (self.lid, "lid", described.lid),
        ):
            box.clear()
            for name in shown.catalogue.keys(part):
                box.addItem(build_up_word(speech, name), name)
            box.setCurrentIndex(max(0, box.findData(key)))
        names = {each.key: material_word(speech, each.key) for each in shown.catalogue.materials}
        self._cautions = shown.cautions
        self.wall_layers.setText(layers_text(speech, described.wall_layers, names))
        self.lid_layers.setText(layers_text(speech, described.lid_layers, names))
        self.bridges.fill(described.bridges_w_k)
        self.absorptance.fill(described.lid_absorptance)
        self.shading.fill(described.shading)
        at = self.evaporator.findData(described.evaporator.value)
        self.evaporator.setCurrentIndex(at)
        self._show_cautions()
        self.cooling.fill(described.cooling_w)
        self.least_air.fill(described.least_air_c)
        self.pump.fill(described.pump_w)
        self.pump_hours.fill(described.pump_hours_per_day)
        self.set_point.fill(described.set_point_c)
        self.dips.fill(described.dips_per_day)
