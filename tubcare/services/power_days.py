"""Which days of a tub draw power, and which of them the meter covers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.care.model import TubState
from tubcare.store.tables import MeterReadingRow, StateChangeRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.values import TubId

KWH = "kwh"


class Mode(StrEnum):
    """What runs on a day."""

    RUNNING = "running"
    PUMP_ONLY = "pump_only"
    OFF = "off"


_MODES = {
    TubState.OPEN: Mode.RUNNING,
    TubState.PAUSED: Mode.RUNNING,
    TubState.CHILLER_RESTING: Mode.PUMP_ONLY,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Days in a row with the same mode, the last one included."""

    first: date
    last: date
    mode: Mode


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterStep:
    """Energy between two readings of one meter: on the days after `after` up to `until`. [Wh]."""

    reading: int
    after: date
    until: date
    energy_wh: int
    began: datetime
    ended: datetime

    def days(self) -> tuple[date, ...]:
        """Return the days that it covers; two readings on one day cover that day."""
        count = (self.until - self.after).days
        if count == 0:
            return (self.until,)
        return tuple(self.after + timedelta(days=n) for n in range(1, count + 1))


def stretches(
    states: Sequence[tuple[date, TubState]], first: date, last: date
) -> tuple[Stretch, ...]:
    """Return what ran from `first` to `last`; before the first state on record nothing did."""
    marks = [(day, _MODES.get(state, Mode.OFF)) for day, state in states]
    found: list[Stretch] = []
    for day, mode in _days(marks, first, last):
        if found and found[-1].mode is mode:
            found[-1] = Stretch(first=found[-1].first, last=day, mode=mode)
        else:
            found.append(Stretch(first=day, last=day, mode=mode))
    return tuple(found)


def states_of(connection: Connection, tub: TubId) -> tuple[tuple[date, TubState], ...]:
    """Return the states of a tub in order of date."""
    table = table_of(StateChangeRow)
    rows = connection.execute(
        select(table.c.on_date, table.c.state)
        .where(table.c.tub_id == tub)
        .order_by(table.c.on_date, table.c.id)
    )
    return tuple((row.on_date, TubState(row.state)) for row in rows)


def meter_steps(connection: Connection, tub: TubId) -> tuple[MeterStep, ...]:
    """Return the energy between readings, in order; the step to a new meter is left out."""
    table = table_of(MeterReadingRow)
    rows = connection.execute(
        select(table)
        .where(table.c.tub_id == tub, table.c.counter == KWH)
        .order_by(table.c.at, table.c.id)
    ).all()
    return tuple(
        MeterStep(
            reading=after.id,
            after=before.on_date,
            until=after.on_date,
            energy_wh=after.value_milli - before.value_milli,
            began=before.at,
            ended=after.at,
        )
        for before, after in pairwise(rows)
        if not after.new_meter
    )


def energy_by_day(steps: Sequence[MeterStep]) -> Mapping[date, float]:
    """Return the metered energy of each covered day, spread evenly between readings. [kWh]."""
    found: dict[date, float] = {}
    for step in steps:
        days = step.days()
        for day in days:
            found[day] = found.get(day, 0.0) + step.energy_wh / 1000.0 / len(days)
    return found


def season_of_states(
    states: Sequence[tuple[date, TubState]], today: date
) -> tuple[date, date] | None:
    """Return the newest season on record up to today: its first and last day so far."""
    first: date | None = None
    last = today
    for day, state in states:
        if day > today:
            break
        off = state in {TubState.CLOSED, TubState.RETIRED}
        if off and first is not None and last == today:
            last = day
        elif not off and (first is None or last != today):
            first, last = day, today
    return None if first is None else (first, max(first, last))


def _days(
    marks: Sequence[tuple[date, Mode]], first: date, last: date
) -> Iterator[tuple[date, Mode]]:
    mode, at = Mode.OFF, 0
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        while at < len(marks) and marks[at][0] <= day:
            mode, at = marks[at][1], at + 1
        yield day, mode
