"""Estimates of power in the ledger: only for days that no meter reading covers, and each day once.

An estimate is a power charge without a reading. It stands for the days after its `from_date` up to
its date, evenly, as a metered charge does.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.ledger.power_spread import spread_through
from tubcare.services.power_days import KWH, Mode, meter_steps, states_of, stretches
from tubcare.store.tables import EntryRow, MeterReadingRow, StateChangeRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from sqlalchemy import Connection

    from tubcare.store.unit import Unit
    from tubcare.values import TubId

_ONE_DAY = timedelta(days=1)
POWER = "power"
_DECIDE = frozenset({MeterReadingRow.__tablename__, StateChangeRow.__tablename__})


@dataclass(frozen=True, slots=True, kw_only=True)
class EstimateEntry:
    """An estimate as it stands in the ledger: money in minor units, energy in watt hours."""

    id: int
    after: date
    until: date
    minor: int
    energy_wh: int

    def days(self) -> tuple[date, ...]:
        """Return the days that it stands for."""
        return tuple(
            self.after + _ONE_DAY * n for n in range(1, (self.until - self.after).days + 1)
        )

    def part(self, first: date, last: date) -> tuple[int, int]:
        """Return money and energy of some of its days, the last one included."""
        found = []
        for whole in (self.minor, self.energy_wh):
            before, upto = (
                spread_through(whole, after=self.after, until=self.until, day=day)
                for day in (first - _ONE_DAY, last)
            )
            found.append(upto - before)
        return found[0], found[1]


def estimates_of(connection: Connection, tub: TubId) -> tuple[EstimateEntry, ...]:
    """Return the estimates in a tub's ledger, in order of date."""
    table = table_of(EntryRow)
    rows = connection.execute(
        select(table)
        .where(
            table.c.tub_id == tub,
            table.c.kind == POWER,
            table.c.meter_reading_id.is_(None),
            table.c.refund_of.is_(None),
        )
        .order_by(table.c.on_date, table.c.id)
    )
    return tuple(
        EstimateEntry(
            id=row.id,
            after=row.from_date,
            until=row.on_date,
            minor=row.minor,
            energy_wh=row.quantity_milli,
        )
        for row in rows
    )


def metered_days(connection: Connection, tub: TubId) -> frozenset[date]:
    """Return the days that the meter covers."""
    return frozenset(day for step in meter_steps(connection, tub) for day in step.days())


def settle_changed(unit: Unit) -> None:
    """Settle the estimates of each tub whose meter readings or states this unit touched."""
    tubs = {
        image["tub_id"]
        for change in unit.changes
        if change.table in _DECIDE
        for image in (change.before, change.after)
        if image is not None and image.get("counter", KWH) == KWH
    }
    for tub in sorted(tubs):
        settle_estimates(unit, tub)


def settle_estimates(unit: Unit, tub: TubId) -> None:
    """Cut estimates back to days on which something ran, that nothing else covers.

    Neither the meter nor an earlier estimate may stand for the same day.
    """
    estimates = estimates_of(unit.connection, tub)
    if not estimates:
        return
    taken = set(metered_days(unit.connection, tub) | _idle_days(unit.connection, tub, estimates))
    for each in estimates:
        free = [day for day in each.days() if day not in taken]
        taken.update(free)
        if len(free) != len(each.days()):
            _cut(unit, tub, each, runs_of(free))


def runs_of(days: Iterable[date]) -> tuple[tuple[date, date], ...]:
    """Return first and last day of each run of days in a row within one month."""
    found: list[tuple[date, date]] = []
    for day in sorted(days):
        follows = found and found[-1][1] + _ONE_DAY == day
        if follows and found[-1][1].month == day.month:
            found[-1] = (found[-1][0], day)
        else:
            found.append((day, day))
    return tuple(found)


def _idle_days(
    connection: Connection, tub: TubId, estimates: Sequence[EstimateEntry]
) -> frozenset[date]:
    """Return the days among those of the estimates on which nothing ran."""
    first = min(each.after for each in estimates)
    last = max(each.until for each in estimates)
    return frozenset(
        stretch.first + _ONE_DAY * n
        for stretch in stretches(states_of(connection, tub), first, last)
        if stretch.mode is Mode.OFF
        for n in range((stretch.last - stretch.first).days + 1)
    )


def _cut(unit: Unit, tub: TubId, each: EstimateEntry, runs: Sequence[tuple[date, date]]) -> None:
    kept = False
    for first, last in runs:
        minor, energy_wh = each.part(first, last)
        if not minor:
            continue
        values = {
            "from_date": first - _ONE_DAY,
            "on_date": last,
            "minor": minor,
            "quantity_milli": energy_wh,
        }
        if kept:
            add_estimate(unit, tub, **values)
        else:
            unit.change(EntryRow, each.id, **values)
            kept = True
    if not kept:
        unit.remove(EntryRow, each.id)


def add_estimate(unit: Unit, tub: TubId, **values: object) -> int:
    """Add an estimate to the ledger: from_date, on_date, minor and quantity_milli are told."""
    return unit.add(EntryRow, kind=POWER, category=POWER, tub_id=tub, **values)
