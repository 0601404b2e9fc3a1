"""Which quantities are measured in a tub, what they showed last, and what looks like a slip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from tubcare.care.model import Counter, ReadingTrigger
from tubcare.errors import NotFoundError
from tubcare.services.facts import read_tasks
from tubcare.services.measures import QUANTITY_BOUNDS
from tubcare.services.ranges import care_ranges, edited_rows
from tubcare.services.tubs import tubs
from tubcare.services.water_kit import kit_in
from tubcare.store.tables import MeterReadingRow, ReadingRow
from tubcare.store.unit import table_of
from tubcare.water.kit import MEASURED, OBSERVED

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.care.model import Range
    from tubcare.services.desk import Desk
    from tubcare.values import TubId, TubProfile
    from tubcare.water.kit import Kit

# What a small outdoor tub of cold water shows on ordinary days: common practice, no source.
# Anything else may be true; it is asked about once, and kept as written.
_USUAL: Mapping[str, tuple[float, float]] = {
    "ph": (6.2, 8.6),
    "free_chlorine_mg_l": (0.0, 10.0),
    "total_chlorine_mg_l": (0.0, 12.0),
    "combined_chlorine_mg_l": (0.0, 3.0),
    "bromine_mg_l": (0.0, 15.0),
    "peroxide_mg_l": (0.0, 200.0),
    "alkalinity_mg_l": (20.0, 300.0),
    "hardness_mg_l": (10.0, 800.0),
    "cyanurate_mg_l": (0.0, 150.0),
    "boron_mg_l": (0.0, 60.0),
    "chloride_mg_l": (0.0, 1500.0),
    "tds_mg_l": (20.0, 3000.0),
    "orp_mv": (200.0, 900.0),
    "water_c": (-0.5, 25.0),
    "air_c": (-40.0, 40.0),
    "flow_l_min": (0.5, 500.0),
    "pressure_bar": (0.0, 3.0),
    "level_drop_mm": (0.0, 150.0),
    "top_up_l": (0.0, 500.0),
}
# A slipped decimal sign multiplies by ten; readings on different days seldom do.
_SLIP = 8.0
_SLIP_FROM = 1.0
# What a socket by a tub may feed besides: common practice, no source.
_OTHER_W = 2000.0
_MOST_FILLS = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class LastValue:
    """The newest value of something measured, in the unit of its quantity or counter."""

    value: float
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingKit:
    """What one tub's readings and meters look like when somebody is about to write new ones.

    `asked` are the quantities that the tub's test kit shows, those that its tasks watch without a
    kit, and those measured before; `others` all that could be measured besides. What is seen and
    smelled is not among them. `kit` knows the units in which it is read.
    """

    kit: Kit
    asked: tuple[str, ...]
    others: tuple[str, ...]
    last: Mapping[str, LastValue]
    ranges: Mapping[str, Range]
    meters: Mapping[str, LastValue]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unlikely:
    """A value that looks like a slip: outside `low` to `high`, or far from the `last` one."""

    quantity: str
    value: float
    low: float
    high: float
    last: LastValue | None = None
    is_jump: bool = False


def reading_kit(desk: Desk, tub: TubId) -> ReadingKit:
    """Return what to ask for in a tub, with the last values; `NotFoundError` when it is gone."""
    record = next((each for each in tubs(desk) if each.id == tub), None)
    if record is None:
        raise NotFoundError("tub", tub)
    with desk.read() as connection:
        last = _last_readings(connection, tub)
        meters = _last_meters(connection, tub)
        tasks, _usual, _reminds = read_tasks(connection)
        edits = edited_rows(connection)
        kit = kit_in(connection, tub)
    called_for = {
        trigger.condition.quantity
        for task in tasks
        if task.tub_id == tub
        for trigger in task.triggers
        if isinstance(trigger, ReadingTrigger)
    }
    typed = [name for name in QUANTITY_BOUNDS if name not in OBSERVED]
    seen = {*last, *(called_for - set(MEASURED))}
    shown = [name for name in kit.fields if name in typed]
    asked = tuple(dict.fromkeys([*shown, *(name for name in typed if name in seen)]))
    return ReadingKit(
        kit=kit,
        asked=asked,
        others=tuple(name for name in typed if name not in asked),
        last=last,
        ranges=care_ranges(record.profile, edits.get(tub, {})),
        meters=meters,
    )


def unlikely_values(
    values: Mapping[str, float], last: Mapping[str, LastValue]
) -> tuple[Unlikely, ...]:
    """Return the values that a person should look at once more; none of them is changed."""
    found = []
    for name, value in values.items():
        low, high = _USUAL.get(name, (value, value))
        before = last.get(name)
        jump = before is not None and _is_slip(value, before.value)
        if jump or not low <= value <= high:
            found.append(
                Unlikely(
                    quantity=name,
                    value=value,
                    low=low,
                    high=high,
                    last=before,
                    is_jump=jump and low <= value <= high,
                )
            )
    return tuple(found)


def unlikely_meter(
    profile: TubProfile, counter: str, value: float, last: LastValue | None, on: date
) -> float | None:
    """Return the most that a meter can well have gone up since its last value, if it is exceeded.

    Hour counters cannot gain more than the hours that passed; a power meter hardly more than the
    chiller, the pump and a heater of 2 kW running all the time. In hours and kWh.
    """
    if last is None or value <= last.value:
        return None
    hours = 24.0 * ((on - last.on).days + 1)
    if counter in {Counter.PUMP_H, Counter.CHILLER_H}:
        most = hours
    elif counter == Counter.KWH:
        most = hours * (profile.chiller_w + profile.pump_w + _OTHER_W) / 1000
    else:
        return None
    return most if value - last.value > most else None


def unlikely_fill(profile: TubProfile, litres: float) -> bool:
    """Return whether more went in than the tub holds, by more than a rinse."""
    return litres > _MOST_FILLS * profile.volume_l


def _is_slip(value: float, before: float) -> bool:
    small, large = sorted((abs(value), abs(before)))
    return large >= _SLIP_FROM and small > 0 and large / small >= _SLIP


def _last_readings(connection: Connection, tub: TubId) -> dict[str, LastValue]:
    table = table_of(ReadingRow)
    newest = (
        select(table.c.quantity, func.max(table.c.at).label("at"))
        .where(table.c.tub_id == tub)
        .group_by(table.c.quantity)
        .subquery()
    )
    rows = connection.execute(
        select(table.c.quantity, table.c.value, table.c.on_date)
        .join(newest, (newest.c.quantity == table.c.quantity) & (newest.c.at == table.c.at))
        .where(table.c.tub_id == tub)
        .order_by(table.c.id)
    )
    return {row.quantity: LastValue(value=row.value, on=row.on_date) for row in rows}


def _last_meters(connection: Connection, tub: TubId) -> dict[str, LastValue]:
    table = table_of(MeterReadingRow)
    rows = connection.execute(
        select(table.c.counter, table.c.value_milli, table.c.on_date)
        .where(table.c.tub_id == tub)
        .order_by(table.c.at, table.c.id)
    )
    return {row.counter: LastValue(value=row.value_milli / 1000, on=row.on_date) for row in rows}
