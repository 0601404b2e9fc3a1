"""What the ledger's forms have done in the logbook's thread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.ledger.contributions import View
from tubcare.services.budgets import budgets, set_budgets_of_years
from tubcare.services.corrections import Correction, change_entry, delete_entry, refund
from tubcare.services.entries import Entry, EntryDetail, entries, entry_detail
from tubcare.services.ledger_choices import LedgerChoices, ledger_choices
from tubcare.services.money import (
    BuildCost,
    DirectPurchase,
    StockPurchase,
    add_build_cost,
    buy_stock,
    end_use,
    pay,
)
from tubcare.services.period_choices import PeriodChoice, ledger_periods, review_periods
from tubcare.services.periods import calendar_year
from tubcare.services.prices import Prices, set_prices
from tubcare.services.used import UsedLine, used_between

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from tubcare.ledger.categories import SpendCategory
    from tubcare.services.desk import Desk
    from tubcare.values import EntryId


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was written down; `detail` is None for what is no amount."""

    detail: EntryDetail | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerShown:
    """The amounts of a period, and what there is to choose from."""

    first: date
    last: date
    entries: tuple[Entry, ...]
    used: tuple[UsedLine, ...]
    choices: LedgerChoices
    periods: tuple[PeriodChoice, ...]


def read_ledger(
    desk: Desk, *, span: tuple[date, date] | None, view: View = View.PAID
) -> LedgerShown:
    """Return the ledger of a span of days; None is the first period on offer.

    What was used is worked out when that view asks for it alone.
    """
    choices = ledger_choices(desk)
    periods = ledger_periods(desk)
    first, last = span or (periods[0].period.first, periods[0].period.last)
    return LedgerShown(
        first=first,
        last=last,
        entries=entries(desk, first=first, last=last),
        used=used_between(desk, first, last) if view is View.USED else (),
        choices=choices,
        periods=periods,
    )


def read_for_showing(desk: Desk, *, entry: EntryId, span: tuple[date, date] | None) -> LedgerShown:
    """Return the ledger of a span, or of the year of an amount that lies outside it."""
    shown = read_ledger(desk, span=span)
    on = entry_detail(desk, entry).entry.on
    if shown.first <= on <= shown.last:
        return shown
    year = calendar_year(on.year)
    return read_ledger(desk, span=(year.first, year.last))


def read_budgets(desk: Desk) -> dict[int, dict[SpendCategory, int]]:
    """Return the budgets of this year, the next, and each year on record, newest first."""
    today = desk.home_today()
    years = {choice.year for choice in review_periods(desk)} | {today.year, today.year + 1}
    return {year: budgets(desk, year) for year in sorted(years, reverse=True)}


def write_direct(desk: Desk, *, purchase: DirectPurchase) -> Written:
    """Write down something paid for and used at once."""
    return Written(detail=entry_detail(desk, pay(desk, purchase)))


def write_stock(desk: Desk, *, purchase: StockPurchase) -> Written:
    """Write down something bought for the shelf."""
    return Written(detail=entry_detail(desk, buy_stock(desk, purchase)))


def write_build(desk: Desk, *, build: BuildCost) -> Written:
    """Write down part of the build."""
    return Written(detail=entry_detail(desk, add_build_cost(desk, build)))


def write_refund(
    desk: Desk, *, entry: EntryId, on: date, minor: int, quantity_milli: int | None
) -> Written:
    """Write down what came back."""
    made = refund(desk, entry, on=on, minor=minor, quantity_milli=quantity_milli)
    return Written(detail=entry_detail(desk, made))


def write_correction(desk: Desk, *, entry: EntryId, wanted: Correction) -> Written:
    """Correct an amount."""
    change_entry(desk, entry, wanted)
    return Written(detail=entry_detail(desk, entry))


def write_end(desk: Desk, *, entry: EntryId, on: date) -> Written:
    """Write down that a built part was scrapped."""
    end_use(desk, entry, on)
    return Written(detail=entry_detail(desk, entry))


def write_budgets(
    desk: Desk, *, wanted: Mapping[int, Mapping[SpendCategory, int | None]]
) -> Written:
    """Keep the budgets of some years."""
    set_budgets_of_years(desk, wanted)
    return Written()


def write_prices(desk: Desk, *, wanted: Prices) -> Written:
    """Keep the prices of power and water."""
    set_prices(desk, wanted)
    return Written()


def delete_one(desk: Desk, entry: Entry) -> Entry:
    """Delete an amount and return it, to be named."""
    delete_entry(desk, entry.id)
    return entry
