"""How a period on offer is named."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.period_choices import PeriodKind
from tubcare.words.dates import medium_date
from tubcare.words.lists import all_of

if TYPE_CHECKING:
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
