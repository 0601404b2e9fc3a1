"""Backups of a logbook in use: the daily one, those asked for, and bringing one back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.errors import StoreError, StorePlaceError
from tubcare.services.topics import EVERYTHING
from tubcare.store import backup
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

    from tubcare.services.desk import Desk
    from tubcare.store.backup import Backup

DAILY = "daily"
ASKED = "asked"


def daily_backup(desk: Desk) -> Backup | None:
    """Take today's backup unless there is one, and let go of those that are too old.

    A logbook on a server is backed up by the server's own tools; None then, and when today's
    backup is there already.

    Raises
    ------
    StoreError
        When it cannot be written; the logbook is unharmed.
    """
    path = desk.store.path
    if path is None:
        return None
    now = desk.clock.now()
    for earlier in backup.backups(path):
        if earlier.why == DAILY and earlier.taken_at.date() == now.date():
            return None
    taken = backup.take(path, now, why=DAILY)
    backup.prune(path)
    return taken


def backups_of(desk: Desk) -> tuple[Backup, ...]:
    """Return the backups of the logbook, newest first; none for one on a server."""
    path = desk.store.path
    return () if path is None else backup.backups(path)


def back_up(desk: Desk) -> Backup:
    """Take a backup now and check it by opening it.

    Raises
    ------
    StorePlaceError
        For a logbook on a server.
    StoreError
        When it cannot be written; the logbook is unharmed.
    """
    return backup.take(_file(desk), desk.clock.now(), why=ASKED)


def restore(desk: Desk, chosen: Path) -> Backup | None:
    """Bring a backup back into the open logbook; return the copy of what was there.

    One of an earlier version is brought up to date as at any start.

    Raises
    ------
    StoreError
        When the backup is damaged or the logbook cannot be written; it stays as it was.
    """
    path = _file(desk)
    kept = backup.restore(chosen, path, desk.clock.now())
    open_store(path, desk.clock.now()).close()
    desk.announce(EVERYTHING)
    return kept


def restore_newest(logbook: Path, now: datetime) -> Backup | None:
    """Bring the newest backup back into a logbook that is not open; return what was kept.

    Raises
    ------
    StoreError
        When there is no backup, it is damaged or the logbook cannot be written; the logbook stays
        as it was.
    """
    found = backup.backups(logbook)
    if not found:
        raise StoreError(str(logbook), "there is no backup beside it; name one.")
    return backup.restore(found[0].path, logbook, now)


def _file(desk: Desk) -> Path:
    path = desk.store.path
    if path is None:
        raise StorePlaceError(
            desk.store.place, "a logbook on a server is backed up by the server's own tools."
        )
    return path
