"""Opens a logbook: looks first, updates when needed, refuses what it does not know."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import inspect, text

from tubcare.errors import StoreDamagedError, StoreTooNewError
from tubcare.store import backup
from tubcare.store.engine import make_engine, make_look_engine
from tubcare.store.faults import mapped
from tubcare.store.places import check_place, logbook_url
from tubcare.store.schema import APPLICATION_ID, HEAD, REVISIONS, revision
from tubcare.store.store import Store

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import URL


def open_store(named: str | Path, now: datetime) -> Store:
    """Open the logbook at a path or address; make a new one where there is none.

    Raises
    ------
    StoreError
        When the place cannot hold a logbook, or what lies there is damaged, busy, of a newer
        version or not a logbook. What was there is left as it was.
    """
    url = logbook_url(named)
    if url.get_backend_name() != "sqlite":
        if _server_revision(url) != HEAD:
            _migrate(url)
        return Store(make_engine(url), None)
    path = Path(str(url.database))
    check_place(path)
    found = _file_revision(url, path) if path.exists() else None
    if found != HEAD:
        if found is not None:
            backup.take(path, now, why="before-update")
        _migrate(url)
    return Store(make_engine(url), path)


def _migrate(url: URL) -> None:
    from tubcare.store.migrate import migrate  # noqa: PLC0415  alembic is slow to import

    migrate(url)


def _file_revision(url: URL, path: Path) -> str | None:
    if path.stat().st_size == 0:
        raise StoreDamagedError(
            str(path), "the file is empty. Delete it to start anew, or restore a backup."
        )
    engine = make_look_engine(url)
    try:
        with mapped(str(path)), engine.connect() as connection:
            application = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
            if application != APPLICATION_ID:
                raise StoreDamagedError(
                    str(path), "this file is a database of another program. Choose another file."
                )
            found = revision(connection)
            if found != HEAD and found in REVISIONS:
                sound = connection.exec_driver_sql("PRAGMA quick_check").scalars().all()
                if sound != ["ok"]:
                    raise StoreDamagedError(
                        str(path), "the logbook file is damaged. Restore the newest backup."
                    )
    finally:
        engine.dispose()
    return _known(found, str(path))


def _server_revision(url: URL) -> str | None:
    engine = make_look_engine(url)
    try:
        place = url.render_as_string()
        with mapped(place), engine.connect() as connection:
            if not inspect(connection).has_table("alembic_version"):
                return None
            found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
            return _known(None if found is None else str(found), place)
    finally:
        engine.dispose()


def _known(found: str | None, place: str) -> str | None:
    if found is not None and found not in REVISIONS:
        raise StoreTooNewError(
            place,
            f"this logbook was written by a newer version of tubcare (shape {found}, this program "
            f"knows up to {HEAD}). It was left as it is; install the newer version to open it.",
        )
    return found
