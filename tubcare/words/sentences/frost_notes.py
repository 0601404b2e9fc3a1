"""The frost date of a tub as a week names it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.terms import Edge
from tubcare.words.dates import day_and_month, relative_day

if TYPE_CHECKING:
    from datetime import date

    from tubcare.words.locale import Speech


def frost_note_told(
    speech: Speech, tub: str, edge: Edge, on: date, *, today: date, passed: bool
) -> str:
    """Return what a frost date asks for: North: dry by 25 Oct (in 5 days)."""
    day = day_and_month(speech, on, today)
    if edge is Edge.FROST_WATCH:
        return speech.say("{tub}: frost watch since {day}.", tub=tub, day=day)
    if passed:
        return speech.say("{tub}: should be dry since {day}.", tub=tub, day=day)
    left = relative_day(speech, on, today)
    return speech.say("{tub}: dry by {day} ({when}).", tub=tub, day=day, when=left)
