"""The year review as the service returns it, beside raw SQL for the same figures.

The baseline asks the same tables with bare sqlite3: for both views, the year and the year before,
the task by month and category by month tables and the tubs; then dips, states, budgets, counts,
what supplies, power and water cost, and the names. It makes no objects of them. A second one works
two of the tables out from the entries, as one would without month totals.
"""

from __future__ import annotations

import random
import sqlite3
from contextlib import closing
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import insert

from tests.support.bench import FULL, beside
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.ledger.categories import SpendCategory
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.reviews import year_review
from tubcare.services.totals_cache import rebuild_totals
from tubcare.store.open import open_store
from tubcare.store.tables import EntryRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tubcare.services.reviews import Reviewed
    from tubcare.values import TubId

NOW = noon(2026, 11, 25)
YEAR = 2025
ROUNDS = 40 if FULL else 2
Rows = list[tuple[str | int, ...]]

GROUPED = ("task_id, month", "category, month", "tub_id")
BESIDE = (
    "SELECT coalesce(sum(dips), 0) FROM dip WHERE on_date BETWEEN ? AND ?",
    "SELECT tub_id, on_date, state FROM state_change WHERE on_date > ? OR on_date <= ?",
    (
        "SELECT s.name, s.unit, s.category, sum(u.cost_minor), sum(u.quantity_milli)"
        " FROM stock_use u JOIN supply s ON s.id = u.supply_id"
        " WHERE u.kind = 'used' AND u.on_date BETWEEN ? AND ? GROUP BY 1, 2, 3"
    ),
    (
        "SELECT on_date, from_date, minor, quantity_milli FROM entry WHERE kind = 'power'"
        " AND on_date >= ? AND coalesce(from_date, on_date) <= ?"
    ),
    (
        "SELECT sum(minor), sum(quantity_milli) FROM entry WHERE kind = 'water'"
        " AND on_date BETWEEN ? AND ?"
    ),
)
ONCE = (
    "SELECT category, minor FROM budget WHERE year = 2025",
    (
        "SELECT task_id, sum(outcome = 'done'), sum(outcome = 'skipped'), sum(missed)"
        " FROM completion WHERE on_date BETWEEN '2025-01-01' AND '2025-12-31' GROUP BY 1"
    ),
    "SELECT id, title, tub_id FROM task",
    "SELECT id, name FROM tub",
)


def by_totals(raw: sqlite3.Connection) -> dict[tuple[str, int, str], Rows]:
    """Return what raw SQL says from the month totals, by view, year and table."""
    found = {}
    for year in (YEAR, YEAR - 1):
        for view in ("paid", "used"):
            for columns in GROUPED:
                found[view, year, columns] = raw.execute(
                    f"SELECT {columns}, sum(minor) FROM month_total WHERE view = ?"  # noqa: S608
                    f" AND month BETWEEN ? AND ? GROUP BY {columns}",
                    (view, year * 12, year * 12 + 11),
                ).fetchall()
        for statement in BESIDE:
            raw.execute(statement, (f"{year}-01-01", f"{year}-12-31")).fetchall()
    for statement in ONCE:
        raw.execute(statement).fetchall()
    return found


def by_entries(raw: sqlite3.Connection) -> None:
    """Ask for the same tables of one view of direct costs from the entries themselves."""
    for year in (YEAR, YEAR - 1):
        for columns in ("task_id, substr(on_date, 1, 7)", "category, substr(on_date, 1, 7)"):
            raw.execute(
                f"SELECT {columns}, sum(minor) FROM entry"  # noqa: S608  constants
                f" WHERE on_date BETWEEN ? AND ? GROUP BY {columns}",
                (f"{year}-01-01", f"{year}-12-31"),
            ).fetchall()


def told_by(reviewed: Reviewed) -> dict[tuple[str, int, str], Rows]:
    """Return the same figures out of the review of the year, in the form of the baseline."""
    found: dict[tuple[str, int, str], Rows] = {}
    for name, view in (("paid", reviewed.review.paid), ("used", reviewed.review.used)):
        found[name, YEAR, "task_id, month"] = [
            (line.task or 0, YEAR * 12 + at, minor)
            for line in view.tasks
            for at, minor in enumerate(line.by_month)
            if minor
        ]
        found[name, YEAR, "category, month"] = [
            (line.category.value, YEAR * 12 + at, minor)
            for line in view.categories
            for at, minor in enumerate(line.by_month)
            if minor
        ]
        found[name, YEAR, "tub_id"] = [(line.tub or 0, line.minor) for line in view.tubs]
    return {key: sorted(rows) for key, rows in found.items()}


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    store = open_store(tmp_path / "a.db", NOW)
    desk = Desk(store, StillClock(NOW), "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    yield desk
    store.close()


def many_entries(desk: Desk, tub: TubId, count: int) -> None:
    """Put in direct costs of twenty years, each of any task and category."""
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
            totals = "SELECT * FROM month_total ORDER BY 1, 2, 3, 4, 5"
            before = unit.connection.exec_driver_sql(totals).all()
            rebuild_totals(unit.connection)
            assert before == unit.connection.exec_driver_sql(totals).all()


@pytest.mark.parametrize("count", [100_000, 1_000_000] if FULL else [2_000])
def test_a_year_review_over_many_entries(desk: Desk, count: int) -> None:
    many_entries(desk, add_tub(desk, zone="UTC"), count)
    with closing(sqlite3.connect(str(desk.store.path))) as raw:
        figure = beside(lambda: year_review(desk, YEAR), lambda: by_totals(raw), ROUNDS)
        entries = beside(lambda: year_review(desk, YEAR), lambda: by_entries(raw), 3)
        expected = by_totals(raw)
    told = told_by(year_review(desk, YEAR))
    figure.told(f"year review over {count} entries", "raw SQL on the month totals")
    entries.told(f"year review over {count} entries", "raw SQL on the entries, one view")
    assert told == {key: sorted(rows) for key, rows in expected.items() if key in told}
    assert sum(map(len, told.values())) > 100
    if FULL:
        assert figure.best_ms < 100
        assert figure.ratio <= 1.25
