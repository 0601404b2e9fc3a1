"""What was measured and done with the water: dips, readings, meters, fills."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.errors import InputError, NotFoundError
from tubcare.services import fields
from tubcare.services.household import ensure_person
from tubcare.services.moments import happened_at
from tubcare.services.topics import Topic
from tubcare.store.tables import DipRow, MeterReadingRow, ReadingRow, TubRow
from tubcare.store.unit import table_of
from tubcare.values import TubId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit

# What each quantity may show at all; far outside any tub's range, so that a slip of a digit shows.
QUANTITY_BOUNDS: Mapping[str, tuple[float, float]] = {
    "ph": (0.0, 14.0),
    "free_chlorine_mg_l": (0.0, 100.0),
    "total_chlorine_mg_l": (0.0, 100.0),
    "combined_chlorine_mg_l": (0.0, 100.0),
    "bromine_mg_l": (0.0, 100.0),
    "peroxide_mg_l": (0.0, 500.0),
    "alkalinity_mg_l": (0.0, 1000.0),
    "hardness_mg_l": (0.0, 2000.0),
    "cyanurate_mg_l": (0.0, 500.0),
    "boron_mg_l": (0.0, 100.0),
    "chloride_mg_l": (0.0, 20_000.0),
    "tds_mg_l": (0.0, 40_000.0),
    "orp_mv": (-1000.0, 1200.0),
    "water_c": (-2.0, 45.0),
    "air_c": (-60.0, 60.0),
    "flow_l_min": (0.0, 10_000.0),
    "pressure_bar": (0.0, 10.0),
    "clarity": (0.0, 2.0),
    "smell": (0.0, 2.0),
    "slime": (0.0, 2.0),
    "foam": (0.0, 2.0),
    "colour": (0.0, 3.0),
    "ice": (0.0, 2.0),
    "sample_c": (0.0, 40.0),
    "ph_as_read": (0.0, 14.0),
    "level_drop_mm": (0.0, 1000.0),
    "top_up_l": (0.0, 5000.0),
}
COUNTERS = frozenset({"kwh", "pump_h", "chiller_h", "litre"})
MAX_DIPS_AT_ONCE = 500
MAX_LITRES = 100_000.0
MAX_METER = 10**9


@dataclass(frozen=True, slots=True, kw_only=True)
class TubPlace:
    """What is needed to write something about a tub."""

    id: TubId
    name: str
    zone: str


def tub_named(connection: Connection, tub: TubId | str | None) -> TubPlace:
    """Return the tub by id or name; the only one when none is named.

    Raises
    ------
    NotFoundError
        When there is no such tub.
    InputError
        When several tubs stand to choose from and none is named.
    """
    table = table_of(TubRow)
    statement = select(table.c.id, table.c.name, table.c.zone).order_by(table.c.id)
    rows = connection.execute(statement).all()
    if tub is not None:
        wanted = str(tub).casefold()
        rows = [r for r in rows if r.id == tub or r.name.casefold() == wanted]
    if not rows:
        raise NotFoundError("tub", tub if tub is not None else "")
    if len(rows) > 1:
        names = ", ".join(r.name for r in rows)
        raise InputError("tub", f"say which tub: {names}")
    return TubPlace(id=TubId(rows[0].id), name=rows[0].name, zone=rows[0].zone)


def add_dip(  # noqa: PLR0913  all but the tub are optional
    desk: Desk,
    tub: TubId | str | None = None,
    *,
    dips: int = 1,
    on: date | None = None,
    person: str | None = None,
    minutes: float | None = None,
    water_c: float | None = None,
    note: str = "",
) -> TubPlace:
    """Write down one dip or several; all but the count is optional.

    Raises
    ------
    InputError, OutOfRangeError
        When a number or date cannot be right.
    """
    fields.quantity("dips", dips, 1, MAX_DIPS_AT_ONCE)
    if minutes is not None:
        fields.quantity("minutes", minutes, 0, 600)
    if water_c is not None:
        fields.quantity("water_c", water_c, *QUANTITY_BOUNDS["water_c"])
    with desk.read() as connection:
        place = tub_named(connection, tub)
    day, at = happened_at(desk, place.zone, on)
    topics = frozenset({Topic.MEASURES, Topic.UPKEEP})
    with desk.write("add_dip", place.name, topics) as unit:
        who = ensure_person(unit, person) if person else None
        unit.add(
            DipRow,
            tub_id=place.id,
            on_date=day,
            at=at,
            person_id=who,
            dips=dips,
            minutes=minutes,
            water_c=water_c,
            note=fields.note_text(note),
        )
    return place


def insert_dips(desk: Desk, unit: Unit, place: TubPlace, dips: int, on: date) -> None:
    """Write down a day's dips inside a running use case; raises like `add_dip`."""
    fields.quantity("dips", dips, 1, MAX_DIPS_AT_ONCE)
    day, at = happened_at(desk, place.zone, on)
    unit.add(DipRow, tub_id=place.id, on_date=day, at=at, person_id=None, dips=dips, note="")


def add_readings(
    desk: Desk,
    tub: TubId | str | None,
    values: Mapping[str, float],
    *,
    on: date | None = None,
    note: str = "",
) -> TubPlace:
    """Write down values measured together.

    Raises
    ------
    InputError
        When no value is given or a quantity is unknown.
    OutOfRangeError
        When a value cannot be right.
    """
    if not values:
        raise InputError("reading", "write at least one value")
    for quantity, value in values.items():
        bounds = QUANTITY_BOUNDS.get(quantity)
        if bounds is None:
            known = ", ".join(sorted(QUANTITY_BOUNDS))
            raise InputError("quantity", f"“{quantity}” is not known; choose from {known}")
        fields.quantity(quantity, value, *bounds)
    with desk.read() as connection:
        place = tub_named(connection, tub)
    day, at = happened_at(desk, place.zone, on)
    topics = frozenset({Topic.MEASURES, Topic.UPKEEP})
    with desk.write("add_reading", place.name, topics) as unit:
        who = ensure_person(unit, desk.actor)
        for quantity, value in values.items():
            unit.add(
                ReadingRow,
                tub_id=place.id,
                quantity=quantity,
                value=float(value),
                on_date=day,
                at=at,
                person_id=who,
                note=fields.note_text(note),
            )
    return place


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterValue:
    """What a meter or hour counter showed, and whether it is the first value of a new one.

    `rolls_over_milli` is the value at which the meter starts again at 0, where it did.
    """

    counter: str
    value_milli: int
    new_meter: bool = False
    rolls_over_milli: int | None = None


def meter_before(
    connection: Connection, tub: TubId, counter: str, at: datetime
) -> tuple[int, int, date] | None:
    """Return id, value and day of the newest meter reading up to an instant."""
    table = table_of(MeterReadingRow)
    row = connection.execute(
        select(table.c.id, table.c.value_milli, table.c.on_date)
        .where(table.c.tub_id == tub, table.c.counter == counter, table.c.at <= at)
        .order_by(table.c.at.desc(), table.c.id.desc())
        .limit(1)
    ).first()
    return None if row is None else (row.id, row.value_milli, row.on_date)


def meter_after(
    connection: Connection, tub: TubId, counter: str, at: datetime
) -> tuple[int, int, bool] | None:
    """Return id, value and whether it starts a new meter, of the first reading afterwards."""
    table = table_of(MeterReadingRow)
    row = connection.execute(
        select(table.c.id, table.c.value_milli, table.c.new_meter)
        .where(table.c.tub_id == tub, table.c.counter == counter, table.c.at > at)
        .order_by(table.c.at, table.c.id)
        .limit(1)
    ).first()
    return None if row is None else (row.id, row.value_milli, row.new_meter)
