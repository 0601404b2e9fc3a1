"""What the year review reads, and the files that it writes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.exchange.files import write_table
from tubcare.services.period_choices import PeriodChoice, review_periods
from tubcare.services.reviews import Reviewed, review_of
from tubcare.services.tubs import tubs

if TYPE_CHECKING:
    from pathlib import Path

    from tubcare.desktop.work import Ticket
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewShown:
    """A review, and the periods to choose from."""

    reviewed: Reviewed
    chosen: PeriodChoice
    choices: tuple[PeriodChoice, ...]
    tubs: tuple[tuple[str, TubId], ...] = ()
    """Names and ids of the tubs to choose from."""


def read_review(desk: Desk, wanted: PeriodChoice | None, only: TubId | None) -> ReviewShown:
    """Return the review of a period; of the newest on offer when the wanted one is gone."""
    choices = review_periods(desk)
    chosen = wanted if wanted in choices else choices[0]
    known = tuple((tub.name, tub.id) for tub in tubs(desk))
    still = only if only in {tub for _name, tub in known} else None
    reviewed = review_of(desk, chosen, only=still)
    return ReviewShown(reviewed=reviewed, chosen=chosen, choices=choices, tubs=known)


def write_csv(path: Path, text: str, _ticket: Ticket) -> Path:
    """Write the tables to a file and return its path."""
    return write_table(path, text)
