"""Opens database connections the one safe way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import create_engine, event

if TYPE_CHECKING:
    from sqlite3 import Connection as DriverConnection

    from sqlalchemy import URL, Connection, Engine

BUSY_MS = 5000
# WAL with FULL: an acknowledged commit survives a power cut (NORMAL would lose the last ones).
_PRAGMAS = (
    "PRAGMA foreign_keys=ON",
    "PRAGMA trusted_schema=OFF",
    "PRAGMA cell_size_check=ON",
    "PRAGMA journal_mode=WAL",
    "PRAGMA synchronous=FULL",
)


def make_engine(url: URL, *, busy_ms: int = BUSY_MS) -> Engine:
    """Return an engine whose transactions begin explicitly; writers take the lock at once.

    The driver's own transaction mode loses updates in silence, so it is switched off.
    """
    if url.get_backend_name() != "sqlite":
        return create_engine(url, pool_pre_ping=True, connect_args={"connect_timeout": 10})
    engine = create_engine(url)

    @event.listens_for(engine, "connect")
    def _prepare(connection: DriverConnection, _record: object) -> None:
        connection.isolation_level = None
        connection.execute(f"PRAGMA busy_timeout={busy_ms}")
        for pragma in _PRAGMAS:
            connection.execute(pragma)

    _begin_by_hand(engine)
    return engine


def make_migration_engine(url: URL) -> Engine:
    """Return an engine for migrations: foreign keys off, since rebuilt tables would cascade."""
    engine = create_engine(url)
    if url.get_backend_name() != "sqlite":
        return engine

    @event.listens_for(engine, "connect")
    def _prepare(connection: DriverConnection, _record: object) -> None:
        connection.isolation_level = None
        connection.execute(f"PRAGMA busy_timeout={BUSY_MS}")
        connection.execute("PRAGMA foreign_keys=OFF")
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA synchronous=FULL")

    _begin_by_hand(engine)
    return engine


def make_look_engine(url: URL) -> Engine:
    """Return an engine that can only read, for looking at a file before touching it."""
    if url.get_backend_name() != "sqlite":
        return create_engine(url, connect_args={"connect_timeout": 10})
    path = str(url.database).replace("%", "%25").replace("?", "%3f").replace("#", "%23")
    return create_engine(
        url.set(database=f"file:{path}", query={"mode": "ro", "uri": "true"}),
        connect_args={"timeout": BUSY_MS / 1000},
    )


def _begin_by_hand(engine: Engine) -> None:
    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("write")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
