"""Readings that follow from others, for reading triggers: a dose not tested, wear, exposure.

They are worked out only for tasks that ask for them, and never stored.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final
from zoneinfo import ZoneInfo

from tubcare.care.model import Reading, ReadingTrigger
from tubcare.services.liner_exposure import inspection_percent
from tubcare.services.water_samples import ground_in
from tubcare.services.water_wear import topped_up_in, wear_in
from tubcare.water.change import ChangeReason
from tubcare.water.judged import FIELD_OF_READING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.care.model import Closing, Task
    from tubcare.services.facts import TubRecord
    from tubcare.values import TaskId, TubId

UNTESTED: Final = "untested_doses"
WEAR: Final = "water_wear_percent"
TOP_UP: Final = "top_up_week_percent"
EXPOSURE: Final = "liner_exposure_percent"
#: What is worked out of other facts, and asked for as if it were read.
DERIVED: Final = frozenset({UNTESTED, WEAR, TOP_UP, EXPOSURE})


def with_derived(
    connection: Connection,
    now: datetime,
    tubs: Mapping[TubId, TubRecord],
    tasks: Iterable[Task],
    closings: Mapping[TaskId, Closing],
) -> dict[TubId, TubRecord]:
    """Return the tubs with the derived readings that their tasks ask for."""
    found = dict(tubs)
    for task in tasks:
        for name in _asked(task):
            record = found.get(task.tub_id)
            if record is None or name in record.facts.readings:
                continue
            reading = _derived(connection, now, record, task, closings.get(task.id), name)
            if reading is not None:
                readings = {**record.facts.readings, name: reading}
                facts = replace(record.facts, readings=readings)
                found[task.tub_id] = replace(record, facts=facts)
    return found


def _asked(task: Task) -> set[str]:
    names = {t.condition.quantity for t in task.triggers if isinstance(t, ReadingTrigger)}
    return names & DERIVED


def _derived(
    connection: Connection,
    now: datetime,
    record: TubRecord,
    task: Task,
    closing: Closing | None,
    name: str,
) -> Reading | None:
    if name == UNTESTED:
        return _untested(record, now)
    if name == TOP_UP:
        return _topped_up(connection, record, now)
    if name == WEAR:
        return _wear(connection, record, now)
    return _exposure(connection, record, task, closing, now)


def _untested(record: TubRecord, now: datetime) -> Reading | None:
    """Return a reading of 1 from the end of the wait after a dose until somebody tests."""
    until = record.settled_at
    if until is None or until > now or _last_test(record, until):
        return None
    return _reading(record, UNTESTED, 1.0, until)


def _wear(connection: Connection, record: TubRecord, now: datetime) -> Reading | None:
    found = wear_in(connection, ground_in(connection, record.id, now), now)
    newest = found.newest
    if newest is None or not found.advice.weights:
        return None
    if found.advice.weights[0].reason is ChangeReason.AGE:
        # Age goes on by itself, and the task counts it too: what is told as of the newest fact
        # must have been so then.
        found = wear_in(connection, ground_in(connection, record.id, newest), newest)
    share = max((each.share for each in found.advice.weights), default=0.0)
    return _reading(record, WEAR, round(100.0 * share), newest)


def _topped_up(connection: Connection, record: TubRecord, now: datetime) -> Reading | None:
    litres, last = topped_up_in(connection, record.id, now)
    if last is None:
        return None
    return _reading(record, TOP_UP, round(100.0 * litres / record.profile.volume_l, 1), last)


def _exposure(
    connection: Connection,
    record: TubRecord,
    task: Task,
    closing: Closing | None,
    now: datetime,
) -> Reading | None:
    ph = record.facts.readings.get("ph")
    if ph is None:
        return None
    percent = inspection_percent(connection, record, task, closing, now)
    return None if percent is None else _reading(record, EXPOSURE, round(percent), ph.taken_at)


def _last_test(record: TubRecord, since: datetime) -> bool:
    """Return whether anything of a test was read since an instant."""
    readings = record.facts.readings
    return any(name in readings and readings[name].taken_at >= since for name in FIELD_OF_READING)


def _reading(record: TubRecord, name: str, value: float, at: datetime) -> Reading:
    on = at.astimezone(ZoneInfo(record.zone)).date()
    return Reading(quantity=name, value=value, taken_on=on, taken_at=at)
