"""Catching up: ticks, readings, dips and meters of past days, written in one go."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from typing import TYPE_CHECKING

from tubcare.errors import InputError, RuleError, TubcareError
from tubcare.services.facts import read_plan
from tubcare.services.measures import (
    MeterValue,
    TubPlace,
    insert_dips,
    tub_named,
)
from tubcare.services.meters import METER_TOPICS, insert_meter_reading
from tubcare.services.upkeep_model import UPKEEP_TOPICS, Work
from tubcare.services.upkeep_work import insert_work
from tubcare.services.water_doubts import query_test
from tubcare.services.water_entry import ENTRY_TOPICS, Entry, check_value, insert_test
from tubcare.services.water_kit import kit_in
from tubcare.values import TaskId

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from datetime import date

    from tubcare.services.desk import Desk
    from tubcare.store.unit import Unit
    from tubcare.values import TubId
    from tubcare.water.doubt import EntryDoubt

TOPICS = UPKEEP_TOPICS | METER_TOPICS | ENTRY_TOPICS


class SheetKind(StrEnum):
    """What a row of the sheet is about, in the order shown and, within a day, written."""

    READING = "reading"
    DIPS = "dips"
    METER = "meter"
    TASK = "task"


class Tick(StrEnum):
    """What a tick means where the work came before its time, as in `record_work`."""

    DONE = "done"
    RESTARTS = "restarts"
    EXTRA = "extra"


@dataclass(frozen=True, slots=True, kw_only=True)
class RowKey:
    """Names a row: the tub, and the task's id, the quantity or the counter; dips have no name."""

    kind: SheetKind
    tub: TubId
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CellKey:
    """Names a cell: a row on a day."""

    row: RowKey
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class CaughtUp:
    """How much was written down."""

    ticks: int
    readings: int
    dips: int
    meters: int


class CatchUpError(RuleError):
    """Cells that cannot be used, each with its error; nothing at all was written."""

    def __init__(self, faults: Mapping[CellKey, TubcareError]) -> None:
        self.faults = faults
        super().__init__(f"{len(faults)} cells cannot be used; nothing was written")


class LaterTickError(RuleError):
    """A clock cannot start anew on a day before a tick that is on record."""

    def __init__(self, title: str, later: date) -> None:
        self.title = title
        self.later = later
        super().__init__(f"“{title}” was done on {later}, and its clock runs from that day")


def catch_up(desk: Desk, entries: Mapping[CellKey, Tick | float]) -> CaughtUp:
    """Write down everything or nothing, as one action that one undo takes back.

    Days come one after the other, on each the measured values before the ticks, so that a tick
    closes what was open on its own day. A tick before a later one on record is extra work.

    Parameters
    ----------
    entries
        A `Tick` for each task cell; a number for the others: the value as the kit of the tub
        shows it, whole dips, or what the meter showed.

    Raises
    ------
    InputError
        When there is nothing to write.
    CatchUpError
        With the error of each cell that cannot be used, such as `EarlyWorkError`.
    """
    if not entries:
        raise InputError("date range", "fill in at least one field")
    order = list(SheetKind)
    cells = sorted(entries, key=lambda c: (c.on, order.index(c.row.kind), c.row.tub, c.row.name))
    faults: dict[CellKey, TubcareError] = {}
    with desk.write("catch_up", "", TOPICS) as unit:
        places = {c.row.tub: tub_named(unit.connection, c.row.tub) for c in cells}
        unit.subject = ", ".join(place.name for place in places.values())
        for cell in cells:
            if cell.row.kind is SheetKind.READING:
                _keep(faults, cell, partial(_check_reading, unit, cell, entries[cell]))
        tests = _tests([cell for cell in cells if cell not in faults], entries)
        for cell in cells:
            place, value = places[cell.row.tub], entries[cell]
            write = _WRITERS.get(cell.row.kind)
            test = tests.pop((cell.on, cell.row.tub), None) if write is None else None
            if write is not None:
                _keep(faults, cell, partial(write, desk, unit, place, cell, value))
            elif test is not None:
                _keep(faults, cell, partial(insert_test, desk, unit, place, test))
        if faults:
            raise CatchUpError(faults) from next(iter(faults.values()))
    return _counted(entries)


def doubts(desk: Desk, entries: Mapping[CellKey, Tick | float]) -> dict[CellKey, EntryDoubt]:
    """Return the readings to ask about before they are kept; what cannot be right is left out."""
    found: dict[CellKey, EntryDoubt] = {}
    for (on, tub), test in _tests(entries, entries).items():
        try:
            asked = query_test(desk, tub, test)
        except TubcareError:
            continue
        for doubt in asked:
            key = RowKey(kind=SheetKind.READING, tub=tub, name=doubt.name)
            found[CellKey(row=key, on=on)] = doubt
    return found


def _keep(faults: dict[CellKey, TubcareError], cell: CellKey, write: Callable[[], object]) -> None:
    """Write one thing, and keep what the logbook says against it."""
    try:
        write()
    except TubcareError as error:
        faults[cell] = error


def _tests(
    cells: Iterable[CellKey], entries: Mapping[CellKey, Tick | float]
) -> dict[tuple[date, TubId], Entry]:
    """Return the readings of each day and tub together: a test of the water."""
    values: dict[tuple[date, TubId], dict[str, float]] = {}
    for cell in cells:
        if cell.row.kind is SheetKind.READING:
            of_day = values.setdefault((cell.on, cell.row.tub), {})
            of_day[cell.row.name] = float(entries[cell])
    return {key: Entry(values=found, on=key[0]) for key, found in values.items()}


def _check_reading(unit: Unit, cell: CellKey, value: Tick | float) -> None:
    """Raise for the one value of a test that cannot be right, so that its own field says so."""
    check_value(kit_in(unit.connection, cell.row.tub), cell.row.name, float(value))


def _dips(desk: Desk, unit: Unit, place: TubPlace, cell: CellKey, value: Tick | float) -> None:
    count = int(float(value))
    if count != float(value):
        raise InputError("dips", "dips are counted in whole numbers")
    insert_dips(desk, unit, place, count, cell.on)


def _meter(desk: Desk, unit: Unit, place: TubPlace, cell: CellKey, value: Tick | float) -> None:
    shown = MeterValue(counter=cell.row.name, value_milli=round(float(value) * 1000))
    insert_meter_reading(desk, unit, place, shown, on=cell.on)


def _tick(desk: Desk, unit: Unit, _place: TubPlace, cell: CellKey, value: Tick | float) -> None:
    task = TaskId(int(cell.row.name))
    plan = read_plan(unit.connection, desk.now(), only=task)
    facts = plan.facts.get(task)
    closing = None if facts is None else facts.closing
    restarts = None if value == Tick.DONE else value == Tick.RESTARTS
    if closing is not None and closing.on >= cell.on:
        if restarts:
            raise LaterTickError(plan.tasks[0].title, closing.on)
        restarts = False
    insert_work(desk, unit, task, Work(on=cell.on), restarts=restarts)


_WRITERS: Mapping[SheetKind, Callable[[Desk, Unit, TubPlace, CellKey, Tick | float], None]] = {
    SheetKind.DIPS: _dips,
    SheetKind.METER: _meter,
    SheetKind.TASK: _tick,
}


def _counted(entries: Mapping[CellKey, Tick | float]) -> CaughtUp:
    kinds = [cell.row.kind for cell in entries]
    dips = (value for cell, value in entries.items() if cell.row.kind is SheetKind.DIPS)
    return CaughtUp(
        ticks=kinds.count(SheetKind.TASK),
        readings=kinds.count(SheetKind.READING),
        dips=sum(int(float(value)) for value in dips),
        meters=kinds.count(SheetKind.METER),
    )
