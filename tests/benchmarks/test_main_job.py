"""What the main job costs, each beside a baseline of the same run. `TUBCARE_BENCH=1` asserts."""

from __future__ import annotations

import os
import statistics
import time
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import insert

from tests.support.clocks import StillClock, noon
from tests.support.plans import add_tub
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.week import this_week
from tubcare.store.open import open_store
from tubcare.store.tables import CompletionRow, TaskRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from tubcare.values import TubId

FULL = bool(os.environ.get("TUBCARE_BENCH"))
NOW = noon(2026, 11, 25)


def median_ms(work: Callable[[], object], *, times: int) -> float:
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append((time.perf_counter() - start) * 1000)
    return statistics.median(taken)


def told(name: str, ours: float, base: float) -> None:
    pass


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    store = open_store(tmp_path / "a.db", NOW)
    desk = Desk(store, StillClock(NOW), "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    yield desk
    store.close()


def test_the_week_of_a_thousand_tasks_does_not_feel_their_history(desk: Desk) -> None:
    tub = add_tub(desk, zone="UTC")
    count = 1000 if FULL else 30
    with desk.store.write() as unit:
        rows = [_task_row(tub, n) for n in range(count)]
        unit.connection.execute(insert(table_of(TaskRow)), rows)

    def ticks(years: int) -> None:
        table = table_of(CompletionRow)
        with desk.store.write() as unit:
            unit.connection.exec_driver_sql("DELETE FROM completion")
            for task in range(1, count + 1):
                begin = datetime(2026, 11, 1, tzinfo=UTC) - timedelta(days=365 * years)
                unit.connection.execute(
                    insert(table),
                    [
                        _tick_row(task, n, begin + timedelta(weeks=2 * n))
                        for n in range(26 * years)
                    ],
                )

    ticks(1)
    one = median_ms(lambda: this_week(desk), times=7)
    ticks(10 if FULL else 3)
    ten = median_ms(lambda: this_week(desk), times=7)
    told(f"week of {count} tasks, ten years of ticks beside one", ten, one)
    if FULL:
        assert ten < 1.2 * one
        assert ten < 150


_TRIGGERS = (
    {"kind": "elapsed", "every": 14, "period": "day"},
    {"kind": "calendar", "rule": "FREQ=WEEKLY;BYDAY=SA", "start": "2016-01-01"},
    {"kind": "calendar", "rule": "FREQ=MONTHLY;BYMONTHDAY=-1", "start": "2016-01-01"},
    {"kind": "elapsed", "every": 2, "period": "month"},
    {"kind": "season", "edge": "closing", "offset_days": -7},
    {"kind": "reading", "when": "ph outside range"},
)


def _task_row(tub: TubId, n: int) -> dict[str, object]:
    return {
        "tub_id": tub,
        "title": f"Task {n}",
        "category": "water",
        "plan": {"triggers": [_TRIGGERS[n % len(_TRIGGERS)]]},
        "card": {},
        "starts_on": date(2016, 1, 1),
        "reminds": True,
        "active": True,
        "revision": 1,
    }


def _tick_row(task: int, n: int, at: datetime) -> dict[str, object]:
    return {
        "task_id": task,
        "key": f"k{n}",
        "outcome": "done",
        "on_date": at.date(),
        "at": at,
        "due_on": at.date(),
        "on_time": True,
        "missed": 0,
        "note": "",
    }
