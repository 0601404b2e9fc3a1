"""The *used* view of the ledger, line by line: what was consumed on a run of days."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.ledger.categories import SpendCategory
from tubcare.services.span_shares import Share, shares_between
from tubcare.store.tables import EntryRow, SupplyRow, TaskRow, TubRow
from tubcare.store.unit import table_of
from tubcare.values import EntryId, TaskId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.store.journal import Image


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedLine:
    """What one fact cost on the days that were asked for.

    `kind` is that of the entry (`estimate` for power that no meter showed yet), or for stock
    `used`, `expired` or `stock_take`. `entry` is None
    for stock that left the shelf; `on` is its day, the reading's, the filling's or the purchase's.
    """

    key: tuple[str, int]
    entry: EntryId | None
    on: date
    kind: str
    category: SpendCategory
    minor: int
    tub_name: str
    task: TaskId | None
    task_title: str
    supply_name: str
    supply_unit: str
    quantity_milli: int | None
    note: str


@dataclass(frozen=True, slots=True)
class _Names:
    tubs: Mapping[int, str]
    tasks: Mapping[int, str]
    supplies: Mapping[int, tuple[str, str, str]]


def used_between(desk: Desk, first: date, last: date) -> tuple[UsedLine, ...]:
    """Return what was used on the days first..last, newest first; the lines add up to the review.

    Power counts with its share of those days, the build with what is written off on them.
    """
    with desk.read() as connection:
        names = _names(connection)
        lines = [
            _line(share, names)
            for share in shares_between(connection, first, last)
            if share.amounts.used_minor
        ]
    lines.sort(key=lambda line: (line.on, line.key), reverse=True)
    return tuple(lines)


def _names(connection: Connection) -> _Names:
    tub, task, supply = table_of(TubRow), table_of(TaskRow), table_of(SupplyRow)
    return _Names(
        tubs={row.id: row.name for row in connection.execute(select(tub.c.id, tub.c.name))},
        tasks={row.id: row.title for row in connection.execute(select(task.c.id, task.c.title))},
        supplies={
            row.id: (row.name, row.unit, row.category)
            for row in connection.execute(
                select(supply.c.id, supply.c.name, supply.c.unit, supply.c.category)
            )
        },
    )


def _kind(entry: Image) -> str:
    follows_meter = entry["meter_reading_id"] is not None or entry["refund_of"] is not None
    return "estimate" if entry["kind"] == "power" and not follows_meter else str(entry["kind"])


def _line(share: Share, names: _Names) -> UsedLine:
    image = share.image
    supply = names.supplies.get(image["supply_id"], ("", "", ""))
    is_entry = share.table == EntryRow.__tablename__
    return UsedLine(
        key=(share.table, image["id"]),
        entry=EntryId(image["id"]) if is_entry else None,
        on=image["on_date"],
        kind=_kind(image) if is_entry else image["kind"],
        category=SpendCategory(image["category"] if is_entry else supply[2]),
        minor=share.amounts.used_minor,
        tub_name=names.tubs.get(image["tub_id"], ""),
        task=image["task_id"],
        task_title=names.tasks.get(image["task_id"], ""),
        supply_name=supply[0],
        supply_unit=supply[1],
        quantity_milli=image["quantity_milli"],
        note=image["note"],
    )
