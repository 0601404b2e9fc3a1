"""How fast a review is put together, against SQL that makes the same tables.

Run with TUBCARE_BENCH=1 for the full size and the bound; the figures are printed (pytest -s).
"""

from __future__ import annotations

import random
import sqlite3
from datetime import date

from tests.support.bench import FULL, best_ms
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.review import review
from tubcare.ledger.review_model import GroupedRow, Period, PeriodFacts, ReviewInput

ROWS = 20_000 if FULL else 500
YEAR = Period(first=date(2026, 1, 1), last=date(2026, 12, 31))
BY_SQL = (
    "SELECT coalesce(task, 0), year * 12 + month, sum(minor) FROM grouped GROUP BY 1, 2",
    "SELECT category, year * 12 + month, sum(minor) FROM grouped GROUP BY 1, 2",
    "SELECT coalesce(tub, 0), sum(minor) FROM grouped GROUP BY 1",
)


def grouped_rows() -> list[GroupedRow]:
    source = random.Random(7)
    categories = [str(category) for category in SpendCategory]
    return [
        (
            source.randrange(80) or None,
            source.choice(categories),
            source.randrange(3) or None,
            2026,
            source.randint(1, 12),
            source.randint(1, 10_000),
        )
        for _ in range(ROWS)
    ]


def test_a_review_is_put_together_about_as_fast_as_sql_groups_the_same_rows() -> None:
    rows = grouped_rows()
    given = ReviewInput(
        facts=PeriodFacts(period=YEAR, paid=rows, used=[]),
        before=None,
        today=YEAR.last,
        budgets={},
    )
    base = sqlite3.connect(":memory:")
    base.execute("CREATE TABLE grouped (task, category, tub, year, month, minor)")
    base.executemany("INSERT INTO grouped VALUES (?, ?, ?, ?, ?, ?)", rows)

    def by_sql() -> list[list[tuple[object, ...]]]:
        return [base.execute(statement).fetchall() for statement in BY_SQL]

    tubs = {row[0]: row[1] for row in by_sql()[2]}
    assert {line.tub or 0: line.minor for line in review(given).paid.tubs} == tubs
    ours, theirs = best_ms(lambda: review(given)), best_ms(by_sql)
    print(f"\nreview of {ROWS} rows: {ours:.2f} ms, SQL {theirs:.2f} ms, {ours / theirs:.2f}x")  # noqa: T201  the figure is the point
    base.close()
    if FULL:
        assert ours <= theirs
