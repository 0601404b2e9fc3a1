"""Reads a month of the calendar; call it in the logbook's thread."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.calendar_model import MonthShown, weeks_around
from tubcare.desktop.speaking import speech_of
from tubcare.services.calendar import calendar
from tubcare.words.dates import first_weekday

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.values import TubId
    from tubcare.words.locale import Speech


def read_month(
    desk: Desk, said_in: Speech, on: date | None, tub: TubId | None
) -> tuple[MonthShown, date]:
    """Return the month around a day and that day; None is today, and all tubs."""
    speech = speech_of(desk, said_in)
    shown = desk.home_today() if on is None else on
    first, last = weeks_around(shown, first_weekday(speech))
    found = calendar(desk, first, last, tub=tub)
    if not found.seasons and found.tubs:
        # The tub that was shown alone is gone.
        found = calendar(desk, first, last)
    return MonthShown(month=shown.replace(day=1), calendar=found, speech=speech), shown
