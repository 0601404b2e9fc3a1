"""Copies of a logbook file: taken by the database itself, named by time, with a checksum."""

from __future__ import annotations

import hashlib
import os
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from tubcare.errors import StoreDamagedError, StoreError
from tubcare.store.schema import APPLICATION_ID

if TYPE_CHECKING:
    from pathlib import Path

_STAMP = "%Y%m%dT%H%M%SZ"
_DAILY, _WEEKLY, _MONTHLY = 7, 8, 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Backup:
    """A copy of the logbook and the instant at which it was taken."""

    path: Path
    taken_at: datetime
    why: str


def folder_of(logbook: Path) -> Path:
    """Return the folder that holds the backups of a logbook."""
    return logbook.with_name(logbook.stem + " backups")


def take(logbook: Path, at: datetime, *, why: str) -> Backup:
    """Copy the logbook, check the copy by opening it, and write its checksum beside it.

    `why` is one word that becomes part of the name: daily, asked, before-update, before-restore.

    Raises
    ------
    StoreError
        When the copy cannot be written or does not open; no half copy stays.
    """
    folder = folder_of(logbook)
    target = folder / f"{logbook.stem} {at.astimezone(UTC):{_STAMP}} {why}.db"
    part = target.with_suffix(".part")
    try:
        folder.mkdir(exist_ok=True)
        part.unlink(missing_ok=True)
        _copy(logbook, part)
        _require_sound(part)
        digest = sha256(part)
        part.replace(target)
        _checksum_file(target).write_text(f"{digest}  {target.name}\n", encoding="utf-8")
        _sync(target)
    except (OSError, sqlite3.Error) as error:
        part.unlink(missing_ok=True)
        raise StoreError(
            str(target), f"the backup could not be written ({error}). The logbook is unharmed."
        ) from error
    return Backup(path=target, taken_at=at.astimezone(UTC), why=why)


def backups(logbook: Path) -> tuple[Backup, ...]:
    """Return the backups of a logbook, newest first."""
    found = []
    for path in folder_of(logbook).glob(f"{logbook.stem} *Z *.db"):
        stamp, why = path.stem.removeprefix(logbook.stem + " ").split(" ", 1)
        taken = datetime.strptime(stamp, _STAMP).replace(tzinfo=UTC)
        found.append(Backup(path=path, taken_at=taken, why=why))
    return tuple(sorted(found, key=lambda b: b.taken_at, reverse=True))


def verify(backup: Path) -> None:
    """Check a backup by its checksum and by opening it.

    Raises
    ------
    StoreDamagedError
        When either disagrees.
    """
    note = _checksum_file(backup)
    if note.exists() and note.read_text(encoding="utf-8").split()[0] != sha256(backup):
        raise StoreDamagedError(
            str(backup), "this backup has changed since it was taken; choose an older one."
        )
    try:
        _require_sound(backup)
    except sqlite3.Error as error:
        raise StoreDamagedError(
            str(backup), f"this backup does not open ({error}); choose an older one."
        ) from error


def restore(backup: Path, logbook: Path, at: datetime) -> Backup | None:
    """Bring a backup's content into the live logbook, keeping a copy of what was there.

    The content goes in as one transaction of the database, so other readers see all or nothing. A
    logbook that no longer opens is moved aside as it is.

    Raises
    ------
    StoreError
        When the backup is damaged or the logbook cannot be written; the logbook stays as it was.
    """
    if not backup.is_file():
        raise StoreError(
            str(backup),
            "there is no such file; “tubcare backup --list” names those there are.",
        )
    verify(backup)
    kept = _keep(logbook, at) if logbook.exists() else None
    try:
        _copy(backup, logbook)
    except sqlite3.Error as error:
        raise StoreError(
            str(logbook), f"the logbook could not be written ({error}); it was left as it was."
        ) from error
    return kept


def _keep(logbook: Path, at: datetime) -> Backup:
    try:
        _require_sound(logbook)
    except sqlite3.Error:
        return _move_aside(logbook, at)
    return take(logbook, at, why="before-restore")


def _move_aside(logbook: Path, at: datetime) -> Backup:
    folder = folder_of(logbook)
    folder.mkdir(exist_ok=True)
    target = folder / f"{logbook.stem} {at.astimezone(UTC):{_STAMP}} damaged.db"
    for tail in ("", "-wal", "-shm"):
        part = logbook.with_name(logbook.name + tail)
        if part.exists():
            part.replace(target.with_name(target.name + tail))
    return Backup(path=target, taken_at=at.astimezone(UTC), why="damaged")


def prune(logbook: Path) -> tuple[Path, ...]:
    """Delete daily backups beyond 7 days, 8 weeks and 12 months; return what went.

    Backups that a person asked for, or that were taken before an update or a restore, stay.
    """
    daily = [b for b in backups(logbook) if b.why == "daily"]
    kept: set[Path] = set()
    for period, count in (("%Y-%j", _DAILY), ("%G-%V", _WEEKLY), ("%Y-%m", _MONTHLY)):
        newest: dict[str, Path] = {}
        for backup in daily:
            newest.setdefault(backup.taken_at.strftime(period), backup.path)
        kept.update(list(newest.values())[:count])
    gone = tuple(b.path for b in daily if b.path not in kept)
    for path in gone:
        path.unlink(missing_ok=True)
        _checksum_file(path).unlink(missing_ok=True)
    return gone


def sha256(path: Path) -> str:
    """Return the checksum of a backup. Never call it on the live file: closing drops its locks."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _copy(source: Path, target: Path) -> None:
    with (
        closing(sqlite3.connect(_read_only(source), uri=True, timeout=10)) as old,
        closing(sqlite3.connect(target, timeout=10)) as new,
    ):
        old.backup(new)


def _require_sound(path: Path) -> None:
    with closing(sqlite3.connect(_read_only(path), uri=True)) as connection:
        if connection.execute("PRAGMA integrity_check").fetchone() != ("ok",):
            raise sqlite3.DatabaseError("it is damaged")
        if connection.execute("PRAGMA application_id").fetchone() != (APPLICATION_ID,):
            raise sqlite3.DatabaseError("it is not a logbook")


def _read_only(path: Path) -> str:
    return f"{path.absolute().as_uri()}?mode=ro"


def _checksum_file(path: Path) -> Path:
    return path.with_name(path.name + ".sha256")


def _sync(path: Path) -> None:
    for target in (path, path.parent):
        if os.name == "nt" and target.is_dir():
            continue
        descriptor = os.open(target, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
