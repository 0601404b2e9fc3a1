"""The four short pages on which a tub is described; Enter on each is enough."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from tubcare.desktop.entry import NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.desktop.theme import worded
from tubcare.ledger.currency import currency
from tubcare.services.household import checked_zone
from tubcare.services.plans import planned_for
from tubcare.values import Cladding, FilterKind, Liner, Sanitiser, TubProfile
from tubcare.words.dates import weekday_date
from tubcare.words.terms import word

if TYPE_CHECKING:
    from datetime import date
    from enum import StrEnum

    from tubcare.care.plan import PlannedTask
    from tubcare.desktop.screen import Context

KEY_ROLE = Qt.ItemDataRole.UserRole
DEFAULT_LITRES = 400
DEFAULT_CHILLER_W = 300
PUMP_W = 40


class Choice(QComboBox):
    """One of a closed set, in the person's words."""

    def __init__(self, context: Context, members: type[StrEnum], chosen: StrEnum) -> None:
        super().__init__()
        for member in members:
            self.addItem(word(context.speech, member), member.value)
        self.setCurrentIndex(list(members).index(chosen))


class TubPage(Form):
    """What the tub is called, how much it holds, and how it is cooled."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        self.name_entry = TextEntry("name", context.voice, required=True)
        self.name_entry.setText(context.say("Tub"))
        self.litres = NumberEntry("volume_l", context.voice, required=True)
        self.litres.fill(DEFAULT_LITRES)
        self.chiller = NumberEntry("chiller_w", context.voice)
        self.chiller.fill(DEFAULT_CHILLER_W)
        self.add_row("name", context.say("&Name"), self.name_entry, read=self.name_entry.read)
        self.add_row(
            "volume_l", context.say("&Litres of water"), self.litres, read=self.litres.number
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
        self.liner = Choice(context, Liner, Liner.HDPE_PP)
        self.cladding = Choice(context, Cladding, Cladding.NONE)
        self.sanitiser = Choice(context, Sanitiser, Sanitiser.CHLORINE)
        self.filter_kind = Choice(context, FilterKind, FilterKind.CARTRIDGE)
        self.add_row("liner", context.say("&Liner"), self.liner)
        self.add_row("cladding", context.say("&Cladding"), self.cladding)
        self.add_row("sanitiser", context.say("&Sanitiser"), self.sanitiser)
        self.add_row("filter_kind", context.say("&Filter"), self.filter_kind)


class PlacePage(Form):
    """Where the tub stands, and in which money its upkeep is paid."""

    def __init__(self, context: Context, zone: str, code: str) -> None:
        super().__init__(context.speech)
        self.zone = TextEntry("zone", context.voice, required=True)
        self.zone.setText(zone)
        self.latitude = NumberEntry("latitude_deg", context.voice)
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
        self.add_row("currency", context.say("&Currency"), self.currency, read=self._read_currency)

    def _read_zone(self) -> str:
        return checked_zone(self.zone.read())

    def _read_currency(self) -> str:
        return currency(self.currency.read()).code


class PlanPage(QWidget):
    """The care plan as drawn up; what is not wanted is unticked."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.list = QListWidget()
        self.list.setAccessibleName(context.say("Care plan"))
        told = context.say("Ticked tasks make up the plan. The others can be added at any time.")
        label = worded(QLabel(told), "muted")
        label.setWordWrap(True)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(label)
        rows.addWidget(self.list, 1)

    def show_plan(self, profile: TubProfile, today: date) -> None:
        """Draw the plan up for a profile, and tick what it starts with."""
        self.list.clear()
        for planned in planned_for(profile, today):
            item = QListWidgetItem(self._told(planned, today))
            item.setData(KEY_ROLE, planned.template_key)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            wanted = planned.starter
            item.setCheckState(Qt.CheckState.Checked if wanted else Qt.CheckState.Unchecked)
            self.list.addItem(item)

    def keys(self) -> frozenset[str]:
        """Return the templates that are ticked."""
        items = (self.list.item(at) for at in range(self.list.count()))
        return frozenset(
            item.data(KEY_ROLE) for item in items if item.checkState() is Qt.CheckState.Checked
        )

    def _told(self, planned: PlannedTask, today: date) -> str:
        if planned.first_due_on is None or planned.first_due_on < today - timedelta(days=1):
            return planned.title
        day = weekday_date(self._context.speech, planned.first_due_on)
        return self._context.say("{task}, first on {day}", task=planned.title, day=day)


def profile_of(tub: TubPage, material: MaterialPage, place: PlacePage) -> TubProfile:
    """Return the profile that the pages describe; raises `InputError` for what cannot be used."""
    latitude = place.latitude.number()
    return TubProfile(
        name=tub.name_entry.read(),
        volume_l=float(tub.litres.number() or DEFAULT_LITRES),
        chiller_w=float(tub.chiller.number() or 0),
        pump_w=PUMP_W,
        liner=Liner(material.liner.currentData()),
        cladding=Cladding(material.cladding.currentData()),
        sanitiser=Sanitiser(material.sanitiser.currentData()),
        filter_kind=FilterKind(material.filter_kind.currentData()),
        zone=place.zone.read(),
        latitude_deg=None if latitude is None else float(latitude),
    )
