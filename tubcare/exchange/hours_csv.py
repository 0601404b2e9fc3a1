"""A running plan as a table that a spreadsheet opens safely."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.exchange.cells import table_text

if TYPE_CHECKING:
    from tubcare.services.power_hours import HoursPlan


def hours_csv(plan: HoursPlan) -> str:
    """Return each hour: local beginning, share to run, water at its end, price [minor units]."""
    written: list[list[object]] = []
    written.append(["begins", "run share", "water C", "price minor per kWh"])
    written.extend(
        [
            hour.begins.isoformat(),
            f"{hour.run_share:.2f}",
            f"{hour.water_c:.2f}",
            f"{hour.price_minor:.3f}",
        ]
        for hour in plan.hours
    )
    return table_text(written)
