"""One tick-off with its amounts, beside bare sqlite3 that writes the same rows.

The baseline works on a copy of the same logbook, so that tables, indexes, foreign keys and pragmas
are the same, and writes in one transaction what a tick-off leaves behind: the completion, the use
of stock, the cost, two month totals, the shelf, and the action that takes it all back. It reads
nothing and decides nothing.
"""

from __future__ import annotations

import itertools
import sqlite3
from contextlib import closing
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from tests.support.bench import FULL, Figure, ms
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.ledger.categories import SpendCategory
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.money import StockPurchase, buy_stock
from tubcare.services.supplies import supplies
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.week import this_week
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tubcare.values import TaskId

NOW = noon(2026, 11, 25)
TICKS = 120 if FULL else 5
PRAGMAS = ("foreign_keys=ON", "journal_mode=WAL", "synchronous=FULL", "trusted_schema=OFF")


def stocked(desk: Desk) -> TaskId:
    """Return a task that costs money and uses a supply that is on the shelf."""
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    tub = add_tub(desk, zone="UTC")
    bought = StockPurchase(
        on=date(2026, 4, 2),
        supply="Filter",
        unit="piece",
        category=SpendCategory.FILTERS,
        quantity_milli=10**6,
        minor=300_000,
    )
    buy_stock(desk, bought)
    (supply,) = supplies(desk)
    return add_task(desk, tub, usual_minor=250, supplies={supply.id: 1000})


def key_of(desk: Desk, task: TaskId) -> str:
    week = this_week(desk)
    due = (*week.late, *week.due_today)
    return next(item.occurrence.key for item in due if item.task == task)


def newest(raw: sqlite3.Connection, table: str) -> dict[str, object]:
    cursor = raw.execute(f"SELECT * FROM {table} ORDER BY id DESC LIMIT 1")  # noqa: S608  a table
    return dict(zip([each[0] for each in cursor.description], cursor.fetchone(), strict=True))


def inserting(table: str, row: dict[str, object]) -> str:
    names = ", ".join(f'"{name}"' for name in row)
    return f"INSERT INTO {table} ({names}) VALUES ({', '.join('?' * len(row))})"  # noqa: S608


def bare_tick(raw: sqlite3.Connection) -> Callable[[], None]:
    """Return what writes the rows of the newest tick-off once more, for another occurrence."""
    rows = {t: newest(raw, t) for t in ("completion", "stock_use", "entry", "action")}
    for row in rows.values():
        del row["id"]
    done, use, cost, action = rows.values()
    texts = {name: inserting(name, row) for name, row in rows.items()}
    shelf = raw.execute("SELECT * FROM stock").fetchone()
    totals = raw.execute("SELECT * FROM month_total ORDER BY month DESC LIMIT 2").fetchall()
    numbers = itertools.count()

    def tick() -> None:
        raw.execute("BEGIN IMMEDIATE")
        values = done | {"key": f"again:{next(numbers)}"}
        made = raw.execute(texts["completion"], tuple(values.values())).lastrowid
        for name, row in (("stock_use", use), ("entry", cost)):
            raw.execute(texts[name], tuple((row | {"completion_id": made}).values()))
        raw.executemany(
            "INSERT INTO month_total VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO UPDATE"
            " SET minor = minor + excluded.minor, entries = entries + excluded.entries",
            totals,
        )
        raw.execute("INSERT OR REPLACE INTO stock VALUES (?, ?, ?, ?)", shelf)
        raw.execute(texts["action"], tuple(action.values()))
        raw.execute("COMMIT")

    return tick


def test_a_tick_off_beside_the_same_rows_by_bare_sqlite3(tmp_path: Path) -> None:
    store = open_store(tmp_path / "a.db", NOW)
    clock = StillClock(NOW)
    desk = Desk(store, clock, "Ann")
    task = stocked(desk)
    tick_off(desk, task, key_of(desk, task))
    with closing(sqlite3.connect(tmp_path / "bare.db", isolation_level=None)) as raw:
        with closing(sqlite3.connect(tmp_path / "a.db")) as source:
            source.backup(raw)
        for pragma in PRAGMAS:
            raw.execute(f"PRAGMA {pragma}")
        base = bare_tick(raw)
        figure = Figure([], [])
        for _ in range(TICKS):
            clock.go(days=31)
            key = key_of(desk, task)
            figure.ours.append(ms(partial(tick_off, desk, task, key)))
            figure.base.append(ms(base))
        written = raw.execute("SELECT count(*) FROM completion").fetchone()
    store.close()
    figure.told("one tick-off with its amounts", "bare sqlite3")
    assert written == (TICKS + 1,)
    if FULL:
        assert figure.best_ms < 3
        assert figure.ratio <= 8
