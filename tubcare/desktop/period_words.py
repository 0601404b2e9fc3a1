"""How a period on offer is named."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.period_choices import PeriodKind
from tubcare.words.dates import medium_date, month_name
from tubcare.words.lists import all_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from tubcare.ledger.months import YearMonth
    from tubcare.services.period_choices import PeriodChoice
    from tubcare.words.locale import Speech


def period_name(speech: Speech, choice: PeriodChoice) -> str:
    """Return a period in a few words: the year 2026, or a season by its first day and its tubs."""
    if choice.kind is PeriodKind.RECENT:
        return speech.say("The last twelve months")
    if choice.kind is PeriodKind.YEAR:
        return speech.say("Year {year}", year=str(choice.year))
    return speech.say(
        "Season from {day} ({tubs})",
        day=medium_date(speech, choice.period.first),
        tubs=all_of(speech, choice.tub_names),
    )


def month_labels(speech: Speech, months: Sequence[YearMonth]) -> tuple[str, ...]:
    """Return the short names of months; with the year where a name comes twice."""
    names = [month_name(speech, each.month, "abbreviated") for each in months]
    return tuple(
        name
        if names.count(name) == 1
        else speech.say("{month} {year}", month=name, year=str(each.year))
        for name, each in zip(names, months, strict=True)
    )


def period_title(speech: Speech, first: date, *, of_season: bool) -> str:
    """Return a year as its number, a season by its first day."""
    if not of_season:
        return str(first.year)
    return speech.say("season from {day}", day=medium_date(speech, first))
