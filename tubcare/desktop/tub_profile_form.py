"""Everything that describes a tub, as a form."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QCheckBox, QWidget

from tubcare.care.profile import checked_profile, volume_from_shape
from tubcare.desktop.entry import NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.kept_entry import KeptQuantity, MonthDayEntry
from tubcare.desktop.word_choice import WordChoice
from tubcare.errors import InputError
from tubcare.services.household import checked_zone
from tubcare.values import Cladding, FilterKind, LidKind, Liner, Sanitiser, Shape, TubProfile
from tubcare.words.quantities import Unit, quantity, with_unit

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context

EMPTY = TubProfile(name="Tub")


class ProfileForm(Form):
    """Shows a profile, and reads what was typed as a profile."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self._context = context
        self._base = EMPTY
        voice = context.voice
        self.name = TextEntry("name", voice, required=True)
        self.shape = WordChoice(context, Shape, Shape.BOX)
        self.lengths = {
            name: KeptQuantity(name, voice, Unit.METRE)
            for name in ("length_m", "width_m", "depth_m")
        }
        self.litres = KeptQuantity("volume_l", voice, Unit.LITRE)
        self.liner = WordChoice(context, Liner, Liner.HDPE_PP)
        self.cladding = WordChoice(context, Cladding, Cladding.NONE)
        self.sanitiser = WordChoice(context, Sanitiser, Sanitiser.CHLORINE)
        self.ozone = QCheckBox(context.say("An ozone unit is fitted"))
        self.uv = QCheckBox(context.say("A UV lamp is fitted"))
        self.chiller = KeptQuantity("chiller_w", voice, Unit.WATT, required=True)
        self.pump = KeptQuantity("pump_w", voice, Unit.WATT, required=True)
        self.filter_kind = WordChoice(context, FilterKind, FilterKind.CARTRIDGE)
        self.lid = WordChoice(context, LidKind, LidKind.INSULATED)
        self.zone = TextEntry("zone", voice, required=True)
        self.latitude = NumberEntry("latitude_deg", voice)
        self.opens = MonthDayEntry("season_opens", voice)
        self.closes = MonthDayEntry("season_closes", voice)
        self.set_point = KeptQuantity("set_point_c", voice, Unit.CELSIUS, required=True)
        self.people = NumberEntry("people", voice, required=True, decimals=0)
        self._add_body()
        self._add_fittings()
        self._add_site()
        for entry in (*self.lengths.values(), self.litres):
            entry.editingFinished.connect(self._tell_volume)
        self.shape.activated.connect(self._tell_volume)

    def show_profile(self, profile: TubProfile) -> None:
        """Show a profile in place of what stands there."""
        self._base = profile
        self.name.setText(profile.name)
        for choice, member in (
            (self.shape, profile.shape),
            (self.liner, profile.liner),
            (self.cladding, profile.cladding),
            (self.sanitiser, profile.sanitiser),
            (self.filter_kind, profile.filter_kind),
            (self.lid, profile.lid),
        ):
            choice.choose(member)
        for name, entry in self.lengths.items():
            entry.fill(getattr(profile, name))
        for quantity_entry, value in (
            (self.litres, profile.volume_l),
            (self.chiller, profile.chiller_w),
            (self.pump, profile.pump_w),
            (self.set_point, profile.set_point_c),
        ):
            quantity_entry.fill(value)
        self.ozone.setChecked(profile.has_ozone)
        self.uv.setChecked(profile.has_uv)
        self.zone.setText(profile.zone)
        self.latitude.fill(profile.latitude_deg)
        self.opens.fill(profile.season_opens)
        self.closes.fill(profile.season_closes)
        self.people.fill(profile.people)
        self.look_over()
        self._tell_volume()

    def profile(self) -> TubProfile:
        """Return the profile that stands in the form.

        Raises
        ------
        InputError, OutOfRangeError
            Naming the field that cannot be used.
        """
        latitude = self.latitude.number()
        return checked_profile(
            replace(
                self._base,
                name=self.name.read(),
                shape=Shape(self.shape.value()),
                length_m=self.lengths["length_m"].quantity(),
                width_m=self.lengths["width_m"].quantity(),
                depth_m=self.lengths["depth_m"].quantity(),
                volume_l=self._volume(),
                liner=Liner(self.liner.value()),
                cladding=Cladding(self.cladding.value()),
                sanitiser=Sanitiser(self.sanitiser.value()),
                has_ozone=self.ozone.isChecked(),
                has_uv=self.uv.isChecked(),
                chiller_w=self.chiller.quantity() or 0.0,
                pump_w=self.pump.quantity() or 0.0,
                filter_kind=FilterKind(self.filter_kind.value()),
                lid=LidKind(self.lid.value()),
                zone=checked_zone(self.zone.read()),
                latitude_deg=None if latitude is None else float(latitude),
                season_opens=self.opens.month_day(),
                season_closes=self.closes.month_day(),
                set_point_c=_required(self.set_point.quantity()),
                people=int(self.people.number() or 1),
            )
        )

    def _volume(self) -> float:
        litres = self.litres.quantity()
        if litres is not None:
            return litres
        held = self._held()
        if held is None:
            say = self._context.say
            raise InputError("volume_l", say("write the litres, or all dimensions of the shape"))
        return round(held, 1)

    def _held(self) -> float | None:
        return volume_from_shape(
            Shape(self.shape.value()),
            length_m=self.lengths["length_m"].quantity(),
            width_m=self.lengths["width_m"].quantity(),
            depth_m=self.lengths["depth_m"].quantity(),
        )

    @Slot()
    def _tell_volume(self) -> None:
        """Say below the litres what the dimensions hold."""
        say = self._context.say
        try:
            held = self._held()
        except InputError:
            return
        hint = say("Empty takes what the dimensions hold")
        if held is not None:
            litres = quantity(self._context.speech, round(held), Unit.LITRE)
            hint = say("The dimensions hold about {litres}; empty takes that", litres=litres)
        self.set_hint("volume_l", hint)

    def _add_body(self) -> None:
        say = self._context.say
        self._row("name", say("Name"), self.name)
        self._row("shape", say("Shape"), self.shape)
        self._row(
            "length_m",
            say("Length inside"),
            self.lengths["length_m"],
            say("A cylinder's diameter"),
        )
        self._row(
            "width_m",
            say("Width inside"),
            self.lengths["width_m"],
            say("Of a box or an oval; empty for a round tub"),
        )
        self._row("depth_m", say("Depth of the water"), self.lengths["depth_m"])
        litres = with_unit(self._context.speech, say("Water"), Unit.LITRE)
        self.add_row("volume_l", litres, self.litres, read=self._volume)
        self._row("liner", say("Liner"), self.liner)
        self._row("cladding", say("Cladding"), self.cladding)
        self._row("lid", say("Lid"), self.lid)

    def _add_fittings(self) -> None:
        say = self._context.say
        self._row("sanitiser", say("Sanitiser"), self.sanitiser)
        self._row("has_ozone", say("Ozone"), self.ozone)
        self._row("has_uv", say("UV"), self.uv)
        self._row("filter_kind", say("Filter"), self.filter_kind)
        self._row("chiller_w", say("Power of the chiller"), self.chiller, say("0 for none"))
        self._row("pump_w", say("Power of the pump"), self.pump, say("0 for none"))
        self._row("set_point_c", say("Set point"), self.set_point)
        self._row("people", say("People who use it"), self.people)

    def _add_site(self) -> None:
        say = self._context.say
        self.add_row("zone", say("Time zone"), self.zone, read=self._read_zone)
        self._row(
            "latitude_deg",
            say("Latitude in degrees"),
            self.latitude,
            say("South is negative; decides whether winters call for closing"),
        )
        self._row("season_opens", say("Opens on"), self.opens)
        self._row(
            "season_closes",
            say("Closes on"),
            self.closes,
            say("As you plan it; the day on which you do it counts"),
        )

    def _row(self, key: str, label: str, editor: QWidget, hint: str = "") -> None:
        read: Callable[[], object] | None = None
        if isinstance(editor, KeptQuantity):
            read = editor.quantity
            label = with_unit(self._context.speech, label, editor.unit)
        elif isinstance(editor, NumberEntry):
            read = editor.number
        elif isinstance(editor, MonthDayEntry):
            read = editor.month_day
        elif isinstance(editor, TextEntry):
            read = editor.read
        self.add_row(key, label, editor, read=read, hint=hint)

    def _read_zone(self) -> str:
        return checked_zone(self.zone.read())


def _required(value: float | None) -> float:
    assert value is not None  # noqa: S101  an empty field was refused when it was read
    return value
