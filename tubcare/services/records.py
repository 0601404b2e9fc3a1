"""What was written down about a tub lately, of every kind; and taking one away."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.services.measures import tub_named
from tubcare.services.meters import delete_meter_reading
from tubcare.services.removal import delete_dip, delete_dose, delete_fill, delete_reading
from tubcare.store.tables import (
    DipRow,
    DoseRow,
    FillRow,
    MeterReadingRow,
    PersonRow,
    ReadingRow,
)
from tubcare.store.unit import table_of
from tubcare.values import TubId

if TYPE_CHECKING:
    from datetime import date, datetime

    from sqlalchemy import Connection, Row

    from tubcare.services.desk import Desk
    from tubcare.store.tables.base import Base


class RecordKind(StrEnum):
    """What kind of thing was written down."""

    DIP = "dip"
    READING = "reading"
    DOSE = "dose"
    METER = "meter"
    FILL = "fill"


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One thing that was written down about a tub.

    `amount` is the number of dips, the measured value in the unit of its quantity, what was added
    in `unit` (g or ml), what the meter showed, or the litres. `name` is the quantity, the product,
    the counter or the kind of filling.
    """

    kind: RecordKind
    id: int
    tub: TubId
    on: date
    at: datetime
    name: str
    amount: float
    who: str = ""
    note: str = ""
    minutes: float | None = None
    water_c: float | None = None
    new_meter: bool = False
    unit: str = ""


_TABLES: dict[RecordKind, type[Base]] = {
    RecordKind.DIP: DipRow,
    RecordKind.READING: ReadingRow,
    RecordKind.DOSE: DoseRow,
    RecordKind.METER: MeterReadingRow,
    RecordKind.FILL: FillRow,
}


def recent_records(desk: Desk, tub: TubId | str | None, *, most: int = 200) -> tuple[Record, ...]:
    """Return what was written down about a tub last, newest first, at most `most` of each kind."""
    with desk.read() as connection:
        of = tub_named(connection, tub).id
        found = [
            record for kind in RecordKind for record in _newest(connection, kind, of, most=most)
        ]
    found.sort(key=lambda record: (record.at, record.id), reverse=True)
    return tuple(found)


def delete_record(desk: Desk, record: Record) -> None:
    """Take a record away, with what was charged for it or taken off the shelf.

    Raises
    ------
    NotFoundError
        When it is gone.
    DependentFactError
        When a later fact stands on it, such as a refund of its charge.
    """
    match record.kind:
        case RecordKind.DIP:
            delete_dip(desk, record.id)
        case RecordKind.READING:
            delete_reading(desk, record.id)
        case RecordKind.DOSE:
            delete_dose(desk, record.id)
        case RecordKind.METER:
            delete_meter_reading(desk, record.id)
        case RecordKind.FILL:
            delete_fill(desk, record.id)


def _newest(
    connection: Connection, kind: RecordKind, tub: TubId, *, most: int
) -> tuple[Record, ...]:
    table, person = table_of(_TABLES[kind]), table_of(PersonRow)
    columns = [table]
    statement = select(*columns)
    if "person_id" in table.c:
        statement = select(*columns, person.c.name.label("who")).outerjoin(
            person, person.c.id == table.c.person_id
        )
    rows = connection.execute(
        statement.where(table.c.tub_id == tub)
        .order_by(table.c.at.desc(), table.c.id.desc())
        .limit(most)
    )
    return tuple(_record(kind, row) for row in rows)


def _record(kind: RecordKind, row: Row[Any]) -> Record:
    common = {
        "kind": kind,
        "id": row.id,
        "tub": TubId(row.tub_id),
        "on": row.on_date,
        "at": row.at,
        "note": row.note,
    }
    match kind:
        case RecordKind.DIP:
            return Record(
                **common,
                name="dips",
                amount=row.dips,
                who=row.who or "",
                minutes=row.minutes,
                water_c=row.water_c,
            )
        case RecordKind.READING:
            return Record(**common, name=row.quantity, amount=row.value, who=row.who or "")
        case RecordKind.DOSE:
            return Record(
                **common, name=row.product, amount=row.amount, unit=row.unit, who=row.who or ""
            )
        case RecordKind.METER:
            return Record(
                **common,
                name=row.counter,
                amount=row.value_milli / 1000,
                who=row.who or "",
                new_meter=row.new_meter,
            )
        case RecordKind.FILL:
            return Record(**common, name=row.kind, amount=row.litres)
