"""A running plan as a table that a spreadsheet opens safely."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tubcare.services.power_hours import HoursPlan


def hours_csv(plan: HoursPlan) -> str:
    """Return each hour: local beginning, share to run, water at its end, price [minor units]."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(["begins", "run share", "water C", "price minor per kWh"])
    for hour in plan.hours:
        writer.writerow(
            [
                hour.begins.isoformat(),
                f"{hour.run_share:.2f}",
                f"{hour.water_c:.2f}",
                f"{hour.price_minor:.3f}",
            ]
        )
    return text.getvalue()
