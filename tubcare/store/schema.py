"""Which shapes of the database this program knows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import inspect, text

if TYPE_CHECKING:
    from sqlalchemy import Connection

APPLICATION_ID = 0x54554243
REVISIONS = ("0001", "0002", "0003", "0004", "0005")
HEAD = REVISIONS[-1]


def revision(connection: Connection) -> str | None:
    """Return the revision that the database carries, None when it has no tables of ours."""
    if not inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)
