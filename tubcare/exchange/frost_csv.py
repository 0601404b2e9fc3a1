"""What is known about frost at a tub as a table that a spreadsheet opens safely."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

from tubcare.exchange.cells import table_text

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from tubcare.services.frost_record import FrostRecord
    from tubcare.services.frost_tonight import Tonight


def frost_csv(record: FrostRecord, night: Tonight) -> str:
    """Return what was chosen, the dates to plan by and their bounds, the dates at each risk.

    Then each winter's frosts, the share of winters in which frost had come by a day, the hours
    that hose, pump and tub have without power [h], and the minima day by day [°C].
    Dates are written as 2027-04-15; the lead days are taken off the hard frost of plan and risk.
    """
    return table_text(_rows(record, night))


def _rows(record: FrostRecord, night: Tonight) -> Iterator[list[object]]:
    frost = record.frost
    hard = f"first below {frost.choices.dry_level_c:g} C"
    dates = ("first below 0 C", hard, "last below 0 C")
    yield ["table", "name", *dates, "value", "low", "high"]
    for each in fields(frost.choices):
        yield ["choice", each.name, "", "", "", str(getattr(frost.choices, each.name)), "", ""]
    planned = (frost.watch_from, frost.dry_by, frost.watch_until)
    for name, days in (
        ("on", [None if each is None else each.on for each in planned]),
        ("earliest", [None if each is None else each.earliest for each in planned]),
        ("latest", [None if each is None else each.latest for each in planned]),
    ):
        yield ["plan", name, *map(_day, days), "", "", ""]
    for risk in record.risks:
        both = _day(risk.watch_from), _day(risk.dry_by)
        yield ["risk", f"{risk.risk_percent} %", *both, "", "", "", ""]
    for winter in frost.seasons:
        name = f"{winter.season}/{winter.season + 1}"
        days = [winter.first, winter.first_hard, winter.last]
        yield ["winter", name, *map(_day, days), "", "", ""]
    for point in frost.chances:
        shares = f"{point.frost:.4f}", f"{point.hard:.4f}"
        yield ["share", _day(point.on), *shares, "", "", "", ""]
    yield from _power_cut(night)
    for day, lowest in record.minima:
        yield ["minimum", day.isoformat(), "", "", "", f"{lowest:.2f}", "", ""]


def _power_cut(night: Tonight) -> Iterator[list[object]]:
    for name, value in (("air C", night.air_c), ("water C", night.water_c)):
        yield ["power cut", name, "", "", "", f"{value:.2f}", "", ""]
    for part, freeze in (
        ("hose", night.cut.hose),
        ("pump", night.cut.pump),
        ("tub", night.cut.tub),
    ):
        around = freeze.zero_range
        ends = (None, None) if around is None else (around.low, around.high)
        cells = [_hours(each) for each in (freeze.to_zero_h, *ends)]
        yield ["power cut", f"{part}: h to 0 C", "", "", "", *cells]
        name = f"{part}: h from there to {freeze.ice_share:.0%} ice"
        yield ["power cut", name, "", "", "", _hours(freeze.to_ice_h), "", ""]


def _hours(hours: float | None) -> str:
    return "never" if hours is None else f"{hours:.2f}"


def _day(day: date | None) -> str:
    return "" if day is None else day.isoformat()
