"""The sheet for catching up: what was due or done on past days, and what is measured."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import func, literal, or_, select

from tubcare.care.model import Status
from tubcare.care.occurrences import occurrences
from tubcare.errors import OutOfRangeError
from tubcare.services.catch_up import RowKey, SheetKind
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.facts import read_plan
from tubcare.services.reading_kit import reading_kit
from tubcare.services.water_entry import TOP_UP
from tubcare.store.tables import CompletionRow, DipRow, FillRow, MeterReadingRow, ReadingRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.services.facts import Plan, TubRecord
    from tubcare.water.kit import Kit

SHEET_DAYS = 7
#: How far back a sheet may end.
_WEEKS_BACK = 520
_POWER = "kwh"
#: Worked out from a warm sample, not typed.
PH_AS_READ = "ph_as_read"


@dataclass(frozen=True, slots=True, kw_only=True)
class OnRecord:
    """What is on record for a cell: a state (done, skipped, due on that day), or a value."""

    status: Status | None = None
    value: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One row; `title` is empty but for tasks.

    `expected` is a task that was due or done in these days, or something that the tub's kit shows
    or that was measured before. Readings carry the kit that they are read with.
    """

    key: RowKey
    tub_name: str
    title: str
    expected: bool
    known: Mapping[date, OnRecord]
    kit: Kit | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The rows of the days shown, the oldest day first, by tub."""

    today: date
    days: tuple[date, ...]
    rows: tuple[SheetRow, ...]
    tubs: int


def catch_up_sheet(desk: Desk, *, weeks_back: int = 0) -> Sheet:
    """Return the seven days up to today, or those before them.

    Raises
    ------
    OutOfRangeError
        For `weeks_back` outside 0 to 520.
    """
    if not 0 <= weeks_back <= _WEEKS_BACK:
        raise OutOfRangeError("weeks_back", weeks_back, 0, _WEEKS_BACK)
    with desk.read() as connection:
        plan = read_plan(connection, desk.now())
        today = desk.today(setting(connection, HOME_ZONE) or "UTC")
        last = today - timedelta(days=SHEET_DAYS * weeks_back)
        days = tuple(last - timedelta(days=SHEET_DAYS - 1 - n) for n in range(SHEET_DAYS))
        closed = _closed(connection, days)
        measured = _measured(connection, days)
    rows: list[SheetRow] = []
    for tub in plan.tubs.values():
        rows += _tasks(plan, tub, desk.today(tub.zone), days, closed)
        rows += _measures(desk, tub, measured)
    return Sheet(today=today, days=days, rows=tuple(rows), tubs=len(plan.tubs))


def _tasks(
    plan: Plan,
    tub: TubRecord,
    today: date,
    days: tuple[date, ...],
    closed: Mapping[TaskId, Mapping[date, OnRecord]],
) -> list[SheetRow]:
    tasks = [task for task in plan.tasks if task.tub_id == tub.id]
    now = {e.task_id: e for e in occurrences(tasks, plan.facts, {tub.id: tub.facts}, today)}
    rows = []
    for task in tasks:
        known = dict(closed.get(task.id, {}))
        each = now.get(task.id)
        due = None if each is None or each.status is Status.ASLEEP else each.due_on
        if due in days:
            known.setdefault(due, OnRecord(status=Status.DUE))
        rows.append(
            SheetRow(
                key=RowKey(kind=SheetKind.TASK, tub=tub.id, name=str(task.id)),
                tub_name=tub.name,
                title=task.title,
                expected=bool(known) or (due is not None and due <= days[-1]),
                known=known,
            )
        )
    return sorted(rows, key=lambda row: (not row.expected, row.title))


def _measures(
    desk: Desk, tub: TubRecord, measured: Mapping[RowKey, Mapping[date, OnRecord]]
) -> list[SheetRow]:
    kit = reading_kit(desk, tub.id)
    # A tub that draws power has a meter somewhere, though nobody may have read it yet.
    power = (_POWER,) if tub.profile.chiller_w or tub.profile.pump_w else ()
    meters = dict.fromkeys((*power, *sorted(kit.meters)))
    usual = {*kit.kit.fields, *kit.last}
    named = [
        *((SheetKind.READING, name, name in usual) for name in kit.asked if name != PH_AS_READ),
        (SheetKind.DIPS, "", True),
        *((SheetKind.METER, name, True) for name in meters),
    ]
    rows = []
    for kind, name, expected in named:
        key = RowKey(kind=kind, tub=tub.id, name=name)
        rows.append(
            SheetRow(
                key=key,
                tub_name=tub.name,
                title="",
                expected=expected,
                known=measured.get(key, {}),
                kit=kit.kit if kind is SheetKind.READING else None,
            )
        )
    return rows


def _closed(connection: Connection, days: tuple[date, ...]) -> dict[TaskId, dict[date, OnRecord]]:
    table = table_of(CompletionRow)
    span = days[0], days[-1]
    rows = connection.execute(
        select(table.c.task_id, table.c.on_date, table.c.due_on, table.c.outcome)
        .where(or_(table.c.on_date.between(*span), table.c.due_on.between(*span)))
        .order_by(table.c.id)
    )
    found: dict[TaskId, dict[date, OnRecord]] = defaultdict(dict)
    for row in rows:
        task = TaskId(row.task_id)
        if row.on_date in days:
            found[task][row.on_date] = OnRecord(status=Status(row.outcome))
        elif row.due_on in days:
            found[task].setdefault(row.due_on, OnRecord(status=Status.DUE))
    return found


def _measured(
    connection: Connection, days: tuple[date, ...]
) -> dict[RowKey, dict[date, OnRecord]]:
    found: dict[RowKey, dict[date, OnRecord]] = defaultdict(dict)
    reading, meter, dip = table_of(ReadingRow), table_of(MeterReadingRow), table_of(DipRow)
    readings = select(reading.c.tub_id, reading.c.quantity, reading.c.on_date, reading.c.value)
    meters = select(meter.c.tub_id, meter.c.counter, meter.c.on_date, meter.c.value_milli / 1000.0)
    dips = select(dip.c.tub_id, literal(""), dip.c.on_date, func.sum(dip.c.dips))
    fill = table_of(FillRow)
    # Water topped up is asked for with the readings, and kept where fresh water is charged.
    topped = select(fill.c.tub_id, literal(TOP_UP), fill.c.on_date, func.sum(fill.c.litres))
    topped = topped.where(fill.c.kind == "top_up").group_by(fill.c.tub_id, fill.c.on_date)
    for kind, table, statement in (
        (SheetKind.READING, fill, topped),
        (SheetKind.READING, reading, readings.order_by(reading.c.at, reading.c.id)),
        (SheetKind.METER, meter, meters.order_by(meter.c.at, meter.c.id)),
        (SheetKind.DIPS, dip, dips.group_by(dip.c.tub_id, dip.c.on_date)),
    ):
        inside = statement.where(table.c.on_date.between(days[0], days[-1]))
        for tub, name, on, value in connection.execute(inside):
            key = RowKey(kind=kind, tub=TubId(tub), name=name)
            found[key][on] = OnRecord(value=float(value))
    return found
