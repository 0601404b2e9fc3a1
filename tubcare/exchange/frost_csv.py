"""What is known about frost at a tub as a table that a spreadsheet opens safely."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

from tubcare.exchange.cells import table_text

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from tubcare.services.frost_record import FrostRecord


def frost_csv(record: FrostRecord) -> str:
    """Return what was chosen, the dates to plan by and their bounds, the dates at each risk.

    Then each winter's frosts, the share of winters in which frost had come by a day, and the
    minima day by day [°C].
    Dates are written as 2027-04-15; the lead days are taken off the hard frost of plan and risk.
    """
    return table_text(_rows(record))


def _rows(record: FrostRecord) -> Iterator[list[object]]:
    frost = record.frost
    hard = f"first below {frost.choices.dry_level_c:g} C"
    yield ["table", "name", "first below 0 C", hard, "last below 0 C", "lowest C"]
    for each in fields(frost.choices):
        yield ["choice", each.name, str(getattr(frost.choices, each.name)), "", "", ""]
    planned = (frost.watch_from, frost.dry_by, frost.watch_until)
    for name, dates in (
        ("on", [None if each is None else each.on for each in planned]),
        ("earliest", [None if each is None else each.earliest for each in planned]),
        ("latest", [None if each is None else each.latest for each in planned]),
    ):
        yield ["plan", name, *map(_day, dates), ""]
    for risk in record.risks:
        yield ["risk", f"{risk.risk_percent} %", _day(risk.watch_from), _day(risk.dry_by), "", ""]
    for winter in frost.seasons:
        name = f"{winter.season}/{winter.season + 1}"
        yield ["winter", name, *map(_day, (winter.first, winter.first_hard, winter.last)), ""]
    for point in frost.chances:
        yield ["share", _day(point.on), f"{point.frost:.4f}", f"{point.hard:.4f}", "", ""]
    for day, lowest in record.minima:
        yield ["minimum", day.isoformat(), "", "", "", f"{lowest:.2f}"]


def _day(day: date | None) -> str:
    return "" if day is None else day.isoformat()
