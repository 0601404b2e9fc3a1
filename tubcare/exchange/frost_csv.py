"""The winters on record as a table that a spreadsheet opens safely."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.frost import Frost


def frost_csv(frost: Frost) -> str:
    """Return the dates to plan by, then each season's frosts; dates are written as 2027-04-15."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    hard = f"first below {frost.choices.dry_level_c:g} C"
    writer.writerow(["table", "name", "first below 0 C", hard, "last below 0 C"])
    planned = (frost.watch_from, frost.dry_by, frost.watch_until)
    dates = [None if each is None else each.on for each in planned]
    writer.writerow(["plan", frost.choices.watch_risk_percent, *map(_day, dates)])
    for each in frost.seasons:
        name = f"{each.season}/{each.season + 1}"
        writer.writerow(["winter", name, *map(_day, (each.first, each.first_hard, each.last))])
    for point in frost.chances:
        writer.writerow(["share", _day(point.on), f"{point.frost:.4f}", f"{point.hard:.4f}", ""])
    return text.getvalue()


def _day(day: date | None) -> str:
    return "" if day is None else day.isoformat()
