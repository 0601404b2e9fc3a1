"""The forms beside the ledger for what holds for all of it: budgets, and prices per unit."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Slot
from typing_extensions import override

from tubcare.desktop.choices import ListBox
from tubcare.desktop.entry import MoneyEntry, NumberEntry
from tubcare.desktop.ledger_forms import LedgerForm
from tubcare.desktop.ledger_work import write_budgets, write_prices
from tubcare.ledger.categories import SpendCategory
from tubcare.services.prices import Prices
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from tubcare.desktop.ledger_work import Written
    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk


class BudgetForm(LedgerForm):
    """What each kind of spending may cost in a year; an empty field sets no budget."""

    def __init__(
        self, context: Context, years: Mapping[int, Mapping[SpendCategory, int]], year: int
    ) -> None:
        say = context.say
        super().__init__(context, say("Budgets"))
        self._years = years
        self._typed: dict[int, dict[SpendCategory, int | None]] = {}
        self._shown_year = year
        self.year = ListBox()
        self.year.fill((str(each), each) for each in years)
        self.year.choose(year)
        self.add_row("year", say("Year"), self.year)
        self.amounts: dict[SpendCategory, MoneyEntry] = {}
        for category in SpendCategory:
            entry = MoneyEntry(category.value, context.voice)
            word = money_word(context.speech, category)
            self.add_row(category.value, word[:1].upper() + word[1:], entry, read=entry.minor)
            self.amounts[category] = entry
        self.year.currentIndexChanged.connect(self._turn_to_year)
        self._show_year()

    @override
    def job(self) -> Callable[[Desk], Written]:
        """Return what keeps the budgets that were changed, in every year that was looked at."""
        typed = self._typed | {self._shown_year: self._read_all()}
        wanted = {
            year: {c: minor for c, minor in kept.items() if minor != self._years[year].get(c)}
            for year, kept in typed.items()
        }
        return partial(write_budgets, wanted={year: kept for year, kept in wanted.items() if kept})

    @override
    def said(self, title: str, amount: str) -> str:
        """Return that the budgets are kept."""
        _ = title, amount
        year = str(self.year.currentData())
        return self.context.say("The budgets of {year} are kept.", year=year)

    @Slot()
    def _turn_to_year(self) -> None:
        if self.year.currentData() == self._shown_year:
            return
        if not self.check():
            # What cannot be read stays in sight until it is mended.
            self.year.choose(self._shown_year)
            return
        self._typed[self._shown_year] = self._read_all()
        self._shown_year = self.year.currentData()
        self._show_year()

    def _read_all(self) -> dict[SpendCategory, int | None]:
        return {category: entry.minor() for category, entry in self.amounts.items()}

    def _show_year(self) -> None:
        known = self._typed.get(self._shown_year, self._years[self._shown_year])
        for category, entry in self.amounts.items():
            entry.fill(known.get(category))


class PriceForm(LedgerForm):
    """What a kilowatt hour and a cubic metre cost, for the charges to come."""

    def __init__(self, context: Context, known: Prices) -> None:
        say, voice = context.say, context.voice
        super().__init__(context, say("Prices of power and water"))
        code = context.speech.currency.code
        self.power = NumberEntry("power_price_per_kwh", voice)
        self.water = NumberEntry("water_price_per_m3", voice)
        self.power.fill(known.power_per_kwh)
        self.water.fill(known.water_per_m3)
        self.add_row(
            "power_price_per_kwh",
            say("Power, {code} per kWh", code=code),
            self.power,
            read=self.power.number,
        )
        self.add_row(
            "water_price_per_m3",
            say("Water, {code} per m³", code=code),
            self.water,
            read=self.water.number,
            hint=say("Amounts already charged keep the price that they had"),
        )

    @override
    def job(self) -> Callable[[Desk], Written]:
        """Return what keeps the prices."""
        wanted = Prices(power_per_kwh=self.power.number(), water_per_m3=self.water.number())
        return partial(write_prices, wanted=wanted)

    @override
    def said(self, title: str, amount: str) -> str:
        """Return that the prices are kept."""
        _ = title, amount
        return self.context.say("The prices are kept for what is charged from now on.")
