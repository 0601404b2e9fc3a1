"""What the main job costs, each beside a baseline of the same run. `TUBCARE_BENCH=1` asserts."""

from __future__ import annotations

import os
import random
import sqlite3
import statistics
import time
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import insert

from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.ledger.categories import SpendCategory
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.reviews import year_review
from tubcare.services.totals_cache import rebuild_totals
from tubcare.services.week import this_week
from tubcare.store.open import open_store
from tubcare.store.tables import CompletionRow, EntryRow, TaskRow
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


def many_entries(desk: Desk, tub: TubId, count: int) -> None:
    chance = random.Random(1)
    tasks = [add_task(desk, tub, title=f"Task {n}") for n in range(40)]
    categories = [c.value for c in SpendCategory if c is not SpendCategory.BUILD]
    first = date(2007, 1, 1)
    rows = [
        {
            "on_date": first + timedelta(days=chance.randrange(7250)),
            "kind": "direct",
            "category": chance.choice(categories),
            "minor": chance.randint(1, 9000),
            "tub_id": tub,
            "task_id": chance.choice(tasks),
            "cost_minor": 0,
            "payee": "",
            "note": "",
        }
        for _ in range(count)
    ]
    with desk.store.write() as unit:
        table = table_of(EntryRow)
        for start in range(0, count, 10_000):
            unit.connection.execute(insert(table), rows[start : start + 10_000])
        unit.connection.exec_driver_sql(
            "INSERT INTO month_total SELECT v.view, CAST(substr(on_date, 1, 4) AS INTEGER) * 12"
            " + CAST(substr(on_date, 6, 2) AS INTEGER) - 1, category, task_id, tub_id,"
            " sum(minor), count(*) FROM entry, (SELECT 'paid' AS view UNION SELECT 'used') v"
            " GROUP BY 1, 2, 3, 4, 5"
        )
        if count <= 2000:
            before = unit.connection.exec_driver_sql(
                "SELECT * FROM month_total ORDER BY 1, 2, 3, 4, 5"
            ).all()
            rebuild_totals(unit.connection)
            after = unit.connection.exec_driver_sql(
                "SELECT * FROM month_total ORDER BY 1, 2, 3, 4, 5"
            ).all()
            assert before == after


RAW_REVIEW = (
    (
        "SELECT view, month, category, task_id, tub_id, minor FROM month_total"
        " WHERE month BETWEEN ? AND ?"
    ),
    "SELECT coalesce(sum(dips), 0) FROM dip WHERE on_date BETWEEN ? AND ?",
    (
        "SELECT task_id, sum(outcome = 'done'), sum(outcome = 'skipped'), sum(missed)"
        " FROM completion WHERE on_date BETWEEN ? AND ? GROUP BY task_id"
    ),
    (
        "SELECT s.name, s.unit, sum(u.cost_minor), sum(u.quantity_milli) FROM stock_use u"
        " JOIN supply s ON s.id = u.supply_id WHERE u.kind = 'used' AND u.on_date BETWEEN ? AND ?"
        " GROUP BY 1, 2"
    ),
    (
        "SELECT kind, sum(minor), sum(quantity_milli) FROM entry WHERE kind IN ('power', 'water')"
        " AND on_date BETWEEN ? AND ? GROUP BY kind"
    ),
)


@pytest.mark.parametrize("count", [100_000, 1_000_000] if FULL else [2_000])
def test_year_review_over_many_entries(desk: Desk, count: int) -> None:
    many_entries(desk, add_tub(desk, zone="UTC"), count)
    ours = median_ms(lambda: year_review(desk, 2025), times=7)
    with closing(sqlite3.connect(str(desk.store.path))) as raw:

        def baseline() -> None:
            for year in (2025, 2024):
                months = (year * 12, year * 12 + 11)
                days = (f"{year}-01-01", f"{year}-12-31")
                for at, statement in enumerate(RAW_REVIEW):
                    raw.execute(statement, months if at == 0 else days).fetchall()

        base = median_ms(baseline, times=7)
        grouped = median_ms(
            lambda: raw.execute(
                "SELECT category, task_id, tub_id, substr(on_date, 1, 7), sum(minor) FROM entry"
                " WHERE on_date BETWEEN '2024-01-01' AND '2025-12-31' GROUP BY 1, 2, 3, 4"
            ).fetchall(),
            times=3,
        )
    told(f"year review over {count} entries, beside raw SQL on the totals", ours, base)
    told(f"year review over {count} entries, beside raw SQL on the entries", ours, grouped)
    assert year_review(desk, 2025).review.used.total.minor > 0
    if FULL:
        assert ours < 100


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
