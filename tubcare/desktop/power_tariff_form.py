"""The fields of the tariff editor."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QComboBox

from tubcare.desktop.entry import NumberEntry, TextEntry
from tubcare.desktop.forms import Form
from tubcare.energy.price_text import PricePer
from tubcare.energy.standing_charge import StandingView
from tubcare.energy.tariff_plan import TariffKind
from tubcare.words.power_terms import power_word
from tubcare.words.sentences.tariff_bands import bands_text, example_bands, parse_bands

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.energy.price_text import HourlyPrices
    from tubcare.energy.tariff_plan import TariffPlan


class TariffForm(Form):
    """Prices, standing charge and tax; switching the kind loses nothing."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.speech)
        say, voice = context.say, context.voice
        self._voice = voice
        self.kind, self.view, self.per, self.clock = (QComboBox() for _ in range(4))
        for name, kind in (
            (say("One price"), TariffKind.FLAT),
            (say("By time of day"), TariffKind.TIME_OF_USE),
            (say("By the hour, from a file"), TariffKind.HOURLY),
        ):
            self.kind.addItem(name, kind.value)
        for each in StandingView:
            self.view.addItem(power_word(context.speech, each), each.value)
        self.per.addItem(say("As the file says"), None)
        for per in PricePer:
            self.per.addItem(power_word(context.speech, per), per.value)
        self.clock.addItem(say("The tub's own, with summer time"), False)  # noqa: FBT003  Qt's way
        self.clock.addItem(say("UTC"), True)  # noqa: FBT003  as above
        self.price = NumberEntry("price", voice)
        self.bands = TextEntry("bands", voice)
        self.standing = NumberEntry("standing_per_day", voice, required=True)
        self.household = NumberEntry("household_kwh_a_year", voice)
        self.tax = NumberEntry("tax_percent", voice, required=True)
        self._add_rows(context)

    def _add_rows(self, context: Context) -> None:
        say = context.say
        self.add_row("kind", say("Price"), self.kind)
        self.add_row(
            "price",
            say("For a kilowatt hour"),
            self.price,
            read=self.price.number,
            hint=say("By time of day: the price outside all times below."),
        )
        self.add_row(
            "bands",
            say("Times with their price"),
            self.bands,
            hint=say(
                "Such as: {example}. The first one counts.",
                example=example_bands(context.speech),
            ),
        )
        self.add_row("per", say("A figure of the file is for"), self.per)
        self.add_row("clock", say("Clock of the file"), self.clock)
        self.add_row(
            "standing_per_day",
            say("Standing charge a day"),
            self.standing,
            read=self.standing.number,
        )
        self.add_row("view", say("Who bears it"), self.view)
        self.add_row(
            "household_kwh_a_year",
            say("Whole household in a year, kWh"),
            self.household,
            read=self.household.number,
            hint=say("Only to share the standing charge by kilowatt hours."),
        )
        self.add_row("tax_percent", say("Tax on both, %"), self.tax, read=self.tax.number)

    def choose_hourly(self) -> None:
        """Choose prices by the hour."""
        self.kind.setCurrentIndex(self.kind.findData(TariffKind.HOURLY.value))

    def fill(self, plan: TariffPlan) -> None:
        """Show a tariff."""
        speech = self._voice.speech
        self.kind.setCurrentIndex(self.kind.findData(plan.kind.value))
        self.view.setCurrentIndex(max(0, self.view.findData(plan.view.value)))
        self.price.fill(plan.price)
        self.bands.setText(bands_text(speech, plan.bands))
        self.standing.fill(plan.standing_per_day)
        self.tax.fill(plan.tax_percent)
        self.household.fill(plan.household_kwh_a_year)

    def typed(self, before: TariffPlan, hourly: HourlyPrices | None) -> TariffPlan:
        """Return what is typed; raises `InputError`."""
        speech = self._voice.speech
        return replace(
            before,
            kind=TariffKind(self.kind.currentData()),
            price=self.price.number(),
            bands=parse_bands(speech, "bands", self.bands.read()),
            hourly=hourly,
            standing_per_day=self.standing.number() or Decimal(0),
            tax_percent=self.tax.number() or Decimal(0),
            view=StandingView(self.view.currentData()),
            household_kwh_a_year=self.household.number(),
        )
