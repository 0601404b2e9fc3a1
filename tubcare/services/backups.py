"""The daily backup of a logbook in use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.store import backup

if TYPE_CHECKING:
    from tubcare.services.desk import Desk
    from tubcare.store.backup import Backup

DAILY = "daily"


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
    now = desk.now()
    for earlier in backup.backups(path):
        if earlier.why == DAILY and earlier.taken_at.date() == now.date():
            return None
    taken = backup.take(path, now, why=DAILY)
    backup.prune(path)
    return taken
