"""The ledger as it is read: its amounts, and one amount with all that it belongs to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import func, select

from tubcare.errors import NotFoundError
from tubcare.ledger.categories import SpendCategory
from tubcare.store.tables import (
    CompletionRow,
    EntryRow,
    PersonRow,
    SupplyRow,
    TaskRow,
    TubRow,
)
from tubcare.store.unit import table_of
from tubcare.values import CompletionId, EntryId, SupplyId, TaskId, TubId

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Row, Select

    from tubcare.services.desk import Desk

METERED = frozenset({"power", "water"})
"""Kinds of amounts that follow from a meter reading or a fill."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One amount of the ledger, as shown in a list."""

    id: EntryId
    on: date
    kind: str
    category: SpendCategory
    minor: int
    tub: TubId | None
    tub_name: str
    task: TaskId | None
    task_title: str
    supply: SupplyId | None
    supply_name: str
    supply_unit: str
    quantity_milli: int | None
    refund_of: EntryId | None
    payee: str
    note: str
    is_estimate: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryDetail:
    """One amount with all that it belongs to.

    `refunded_minor` is what came back for it so far, positive; `from_day` the reading before, for
    power; `months`, `salvage_minor` and `ended_on` belong to the build.
    """

    entry: Entry
    completion: CompletionId | None
    completed_on: date | None
    completed_by: str
    refunded_minor: int
    from_day: date | None
    expires_on: date | None
    months: int | None
    salvage_minor: int | None
    ended_on: date | None

    @property
    def can_be_refunded(self) -> bool:
        """Whether some of it has not come back yet."""
        return self.entry.minor > self.refunded_minor and self.entry.kind not in METERED

    @property
    def follows_from_a_measurement(self) -> bool:
        """Whether its day and quantity are those of a meter reading or a fill."""
        return self.entry.kind in METERED


def entries(desk: Desk, *, first: date, last: date, limit: int | None = None) -> tuple[Entry, ...]:
    """Return the amounts between two dates, newest first."""
    entry = table_of(EntryRow)
    statement = (
        _with_names()
        .where(entry.c.on_date >= first, entry.c.on_date <= last)
        .order_by(entry.c.on_date.desc(), entry.c.id.desc())
    )
    if limit is not None:
        statement = statement.limit(limit)
    with desk.read() as connection:
        rows = connection.execute(statement).all()
    return tuple(_entry(row) for row in rows)


def entry_detail(desk: Desk, entry: EntryId) -> EntryDetail:
    """Return one amount whole; raise `NotFoundError` when it is gone."""
    table, done, person = table_of(EntryRow), table_of(CompletionRow), table_of(PersonRow)
    with desk.read() as connection:
        row = connection.execute(_with_names().where(table.c.id == entry)).first()
        if row is None:
            raise NotFoundError("amount", entry)
        back = connection.execute(
            select(func.coalesce(func.sum(table.c.minor), 0)).where(table.c.refund_of == entry)
        ).scalar_one()
        closed = connection.execute(
            select(done.c.on_date, person.c.name)
            .outerjoin(person, person.c.id == done.c.person_id)
            .where(done.c.id == row.completion_id)
        ).first()
    return EntryDetail(
        entry=_entry(row),
        completion=row.completion_id,
        completed_on=closed.on_date if closed else None,
        completed_by=(closed.name or "") if closed else "",
        refunded_minor=-int(back),
        from_day=row.from_date,
        expires_on=row.expires_on,
        months=row.months,
        salvage_minor=row.salvage_minor,
        ended_on=row.ended_on,
    )


def _with_names() -> Select[Any]:
    entry, task, supply = table_of(EntryRow), table_of(TaskRow), table_of(SupplyRow)
    tub = table_of(TubRow)
    return (
        select(
            entry,
            func.coalesce(task.c.title, "").label("task_title"),
            func.coalesce(supply.c.name, "").label("supply_name"),
            func.coalesce(supply.c.unit, "").label("supply_unit"),
            func.coalesce(tub.c.name, "").label("tub_name"),
        )
        .outerjoin(task, task.c.id == entry.c.task_id)
        .outerjoin(supply, supply.c.id == entry.c.supply_id)
        .outerjoin(tub, tub.c.id == entry.c.tub_id)
    )


def _entry(row: Row[Any]) -> Entry:
    return Entry(
        id=EntryId(row.id),
        on=row.on_date,
        kind=row.kind,
        category=SpendCategory(row.category),
        minor=row.minor,
        tub=row.tub_id,
        tub_name=row.tub_name,
        task=row.task_id,
        task_title=row.task_title,
        supply=row.supply_id,
        supply_name=row.supply_name,
        supply_unit=row.supply_unit,
        quantity_milli=row.quantity_milli,
        refund_of=row.refund_of,
        payee=row.payee,
        note=row.note,
        is_estimate=row.kind == "power" and row.meter_reading_id is None and row.refund_of is None,
    )
