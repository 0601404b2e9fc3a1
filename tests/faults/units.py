"""One use case that spans three tables, and the check that none was left half done.

As a program: `python -m tests.faults.units LOGBOOK FIRST COUNT` works through that many units and
writes each number to standard output only after its commit returned.
"""

from __future__ import annotations

import os
import sqlite3
import sys
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from tubcare.store.open import open_store
from tubcare.store.tables import DipRow, EntryRow, FillRow, TubRow

if TYPE_CHECKING:
    from tubcare.store.store import Store

START = datetime(2026, 5, 1, 12, tzinfo=UTC)
DAY = date(2026, 5, 1)


def prepare(path: Path) -> None:
    """Make a logbook with one tub."""
    store = open_store(path, START)
    with store.write() as unit:
        unit.add(TubRow, name="Tub", zone="UTC", profile={}, added_on=DAY)
    store.close()


def work(store: Store, number: int, *, note: str = "") -> None:
    """Write a dip, a fill and an amount that belong together."""
    at = START + timedelta(minutes=number)
    with store.write() as unit:
        unit.add(DipRow, tub_id=1, on_date=DAY, at=at, dips=number, note=note)
        fill = unit.add(FillRow, tub_id=1, on_date=DAY, at=at, litres=float(number), note=note)
        unit.add(
            EntryRow,
            on_date=DAY,
            kind="water",
            category="water",
            minor=number,
            tub_id=1,
            fill_id=fill,
            note=note,
        )


def numbers(path: Path) -> set[int]:
    """Return the units that are in the logbook."""
    with closing(sqlite3.connect(path)) as connection:
        return {row[0] for row in connection.execute("SELECT dips FROM dip")}


def faults_found(path: Path) -> list[str]:
    """Return what is wrong with a logbook: pages, foreign keys, half units."""
    found = []
    with closing(sqlite3.connect(path)) as connection:
        if connection.execute("PRAGMA integrity_check").fetchall() != [("ok",)]:
            found.append("the file is damaged")
        if connection.execute("PRAGMA foreign_key_check").fetchall():
            found.append("a row names another that is missing")
        halves = connection.execute(
            "SELECT count(*) FROM dip d LEFT JOIN fill f ON f.litres = d.dips"
            " LEFT JOIN entry e ON e.minor = d.dips WHERE f.id IS NULL OR e.id IS NULL"
        ).fetchone()[0]
        counts = {
            connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]  # noqa: S608
            for table in ("dip", "fill", "entry")
        }
        if halves or len(counts) != 1:
            found.append("a unit is half written")
    return found


def main() -> None:
    """Work until told to stop, acknowledging each unit after its commit."""
    path, first, count = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    store = open_store(path, START)
    for number in range(first, first + count):
        work(store, number, note="x" * (number * 997 % 6000))
        os.write(1, f"{number}\n".encode())
    store.close()


if __name__ == "__main__":
    main()
