"""The four short pages on which a tub is described; Enter on each is enough."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Slot

from tubcare.care.model import TubState
from tubcare.desktop.entry import NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.kept_entry import KeptQuantity, MonthDayEntry
from tubcare.desktop.word_choice import WordChoice
from tubcare.errors import InputError
from tubcare.ledger.currency import currency
from tubcare.services.household import checked_zone
from tubcare.values import Cladding, FilterKind, Liner, MonthDay, Sanitiser, TubProfile
from tubcare.words.quantities import Unit, with_unit

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context

DEFAULT_LITRES = 400
DEFAULT_CHILLER_W = 300
PUMP_W = 40
_NORTHERN = (MonthDay(month=4, day=15), MonthDay(month=10, day=31))
_SOUTHERN = (MonthDay(month=10, day=15), MonthDay(month=4, day=30))


class TubPage(Form):
    """What the tub is called, how much it holds, and how it is cooled."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self.name_entry = TextEntry("name", context.voice, required=True)
        self.name_entry.setText(context.say("Tub"))
        self.litres = KeptQuantity("volume_l", context.voice, Unit.LITRE, required=True)
        self.litres.fill(DEFAULT_LITRES)
        self.chiller = NumberEntry("chiller_w", context.voice)
        self.chiller.fill(DEFAULT_CHILLER_W)
        self.add_row("name", context.say("&Name"), self.name_entry, read=self.name_entry.read)
        self.add_row(
            "volume_l",
            with_unit(context.speech, context.say("&Water it holds"), Unit.LITRE),
            self.litres,
            read=self.litres.quantity,
        )
        self.add_row(
            "chiller_w",
            context.say("&Power of the chiller in watts"),
            self.chiller,
            read=self.chiller.number,
            hint=context.say("0 if the tub has no chiller"),
        )


class MaterialPage(Form):
    """What touches the water, what stands around it, and what keeps it clean."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self.liner = WordChoice(context, Liner, Liner.HDPE_PP)
        self.cladding = WordChoice(context, Cladding, Cladding.NONE)
        self.sanitiser = WordChoice(context, Sanitiser, Sanitiser.CHLORINE)
        self.filter_kind = WordChoice(context, FilterKind, FilterKind.CARTRIDGE)
        self.add_row("liner", context.say("&Liner"), self.liner)
        self.add_row("cladding", context.say("&Cladding"), self.cladding)
        self.add_row("sanitiser", context.say("&Sanitiser"), self.sanitiser)
        self.add_row("filter_kind", context.say("F&ilter"), self.filter_kind)


class PlacePage(Form):
    """Where the tub stands, and in which money its upkeep is paid."""

    def __init__(self, context: Context, zone: str, code: str) -> None:
        super().__init__(context.speech)
        self.zone = TextEntry("zone", context.voice, required=True)
        self.zone.setText(zone)
        self.latitude = NumberEntry("latitude_deg", context.voice)
        self.opens = MonthDayEntry("season_opens", context.voice)
        self.closes = MonthDayEntry("season_closes", context.voice)
        self.state = WordChoice(context, TubState, TubState.OPEN)
        self._fill_season(_NORTHERN)
        self.currency = TextEntry("currency", context.voice, required=True)
        self.currency.setText(code)
        self.add_row("zone", context.say("&Time zone"), self.zone, read=self._read_zone)
        self.add_row(
            "latitude_deg",
            context.say("&Latitude in degrees"),
            self.latitude,
            read=self.latitude.number,
            hint=context.say("Decides whether winters call for closing; may stay empty"),
        )
        self.latitude.editingFinished.connect(self._turn_season)
        self.add_row(
            "season_opens", context.say("&Opens on"), self.opens, read=self.opens.month_day
        )
        self.add_row(
            "season_closes",
            context.say("Close&s on"),
            self.closes,
            read=self.closes.month_day,
            hint=context.say("As you plan it; the day on which you do it counts"),
        )
        self.add_row("state", context.say("&Now the tub is"), self.state)
        self.add_row("currency", context.say("&Currency"), self.currency, read=self._read_currency)

    @Slot()
    def _turn_season(self) -> None:
        """Propose the season of the other hemisphere, unless the person chose days."""
        try:
            latitude = self.latitude.number()
        except InputError:
            return
        chosen = (self.opens.text(), self.closes.text())
        if chosen == self._proposed:
            southern = latitude is not None and latitude < 0
            self._fill_season(_SOUTHERN if southern else _NORTHERN)

    def _fill_season(self, days: tuple[MonthDay, MonthDay]) -> None:
        self.opens.fill(days[0])
        self.closes.fill(days[1])
        self._proposed = (self.opens.text(), self.closes.text())

    def _read_zone(self) -> str:
        return checked_zone(self.zone.read())

    def _read_currency(self) -> str:
        return currency(self.currency.read()).code


def profile_of(tub: TubPage, material: MaterialPage, place: PlacePage) -> TubProfile:
    """Return the profile that the pages describe; raises `InputError` for what cannot be used."""
    latitude = place.latitude.number()
    return TubProfile(
        name=tub.name_entry.read(),
        volume_l=float(tub.litres.quantity() or DEFAULT_LITRES),
        chiller_w=float(tub.chiller.number() or 0),
        pump_w=PUMP_W,
        liner=Liner(material.liner.currentData()),
        cladding=Cladding(material.cladding.currentData()),
        sanitiser=Sanitiser(material.sanitiser.currentData()),
        filter_kind=FilterKind(material.filter_kind.currentData()),
        zone=place.zone.read(),
        latitude_deg=None if latitude is None else float(latitude),
        season_opens=place.opens.month_day(),
        season_closes=place.closes.month_day(),
    )
