from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.support.clocks import noon
from tubcare.errors import StoreDamagedError, StoreError
from tubcare.store import backup
from tubcare.store.open import open_store
from tubcare.store.tables import PersonRow

if TYPE_CHECKING:
    from pathlib import Path

    from tubcare.store.store import Store

NOW = noon(2026, 5, 1)


def add(store: Store, name: str) -> None:
    with store.write() as unit:
        unit.add(PersonRow, name=name)


def names(path: Path) -> list[str]:
    store = open_store(path, NOW)
    with store.read() as connection:
        found = connection.exec_driver_sql("SELECT name FROM person ORDER BY id").scalars().all()
    store.close()
    return [str(n) for n in found]


def test_a_backup_holds_what_the_logbook_held(file_store: Store) -> None:
    assert file_store.path is not None
    add(file_store, "Ann")
    taken = backup.take(file_store.path, NOW, why="asked")
    add(file_store, "Ben")
    backup.verify(taken.path)
    assert names(taken.path) == ["Ann"]


def test_restore_brings_back_and_keeps_what_was_there(file_store: Store) -> None:
    path = file_store.path
    assert path is not None
    add(file_store, "Ann")
    taken = backup.take(path, NOW, why="asked")
    add(file_store, "Ben")
    kept = backup.restore(taken.path, path, NOW + timedelta(hours=1))
    assert kept is not None
    assert names(path) == ["Ann"]
    assert names(kept.path) == ["Ann", "Ben"]


def test_a_changed_backup_is_refused_and_the_logbook_stays(file_store: Store) -> None:
    path = file_store.path
    assert path is not None
    add(file_store, "Ann")
    taken = backup.take(path, NOW, why="asked")
    data = bytearray(taken.path.read_bytes())
    data[-60] ^= 0xFF
    taken.path.write_bytes(bytes(data))
    with pytest.raises(StoreDamagedError, match="older one"):
        backup.restore(taken.path, path, NOW)
    assert names(path) == ["Ann"]


def test_a_missing_backup_is_named(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="no such file"):
        backup.restore(tmp_path / "x.db", tmp_path / "a.db", NOW)


def test_something_else_is_not_restored(file_store: Store, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    other.write_bytes(b"not a logbook" * 100)
    assert file_store.path is not None
    with pytest.raises(StoreDamagedError):
        backup.restore(other, file_store.path, NOW)


def test_two_years_of_daily_backups_keep_days_weeks_and_months(file_store: Store) -> None:
    path = file_store.path
    assert path is not None
    first = backup.take(path, datetime(2024, 1, 1, 6, tzinfo=UTC), why="daily")
    for day in range(1, 730):
        at = datetime(2024, 1, 1, 6, tzinfo=UTC) + timedelta(days=day)
        name = f"{path.stem} {at:%Y%m%dT%H%M%SZ} daily.db"
        first.path.with_name(name).write_bytes(b"x")
    asked = backup.take(path, datetime(2024, 6, 1, tzinfo=UTC), why="asked")
    backup.prune(path)
    left = [b for b in backup.backups(path) if b.why == "daily"]
    newest = left[0].taken_at
    assert newest.date().isoformat() == "2025-12-30"
    assert 7 + 8 + 12 - 6 <= len(left) <= 7 + 8 + 12
    assert [b.taken_at.date() for b in left[:7]] == [
        newest.date() - timedelta(days=n) for n in range(7)
    ]
    assert asked.path.exists()
    assert left[-1].taken_at.year == 2025


def test_one_bad_backup_does_not_hide_the_others(file_store: Store) -> None:
    path = file_store.path
    assert path is not None
    taken = backup.take(path, NOW, why="daily")
    later = backup.take(path, NOW + timedelta(days=1), why="asked")
    assert [b.path for b in backup.backups(path)] == [later.path, taken.path]


def test_a_damaged_logbook_is_moved_aside_and_replaced(file_store: Store) -> None:
    path = file_store.path
    assert path is not None
    add(file_store, "Ann")
    taken = backup.take(path, NOW, why="asked")
    file_store.close()
    path.write_bytes(b"broken" * 1000)
    kept = backup.restore(taken.path, path, NOW)
    assert kept is not None
    assert kept.path.read_bytes() == b"broken" * 1000
    assert names(path) == ["Ann"]
