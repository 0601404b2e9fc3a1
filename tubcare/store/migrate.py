"""Brings a database to the shape that this program knows. Imported only when a step is due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from alembic import command
from alembic.config import Config

from tubcare.errors import StoreDamagedError
from tubcare.store import strict as _strict_types
from tubcare.store.engine import make_migration_engine
from tubcare.store.faults import mapped
from tubcare.store.schema import APPLICATION_ID, HEAD

if TYPE_CHECKING:
    from sqlalchemy import URL, Connection


# Importing it registers the type names with the DDL compiler.
_ = _strict_types


def migrate(url: URL, *, to: str = HEAD) -> None:
    """Apply the missing steps in one transaction; a step that fails leaves the file as it was.

    Raises
    ------
    StoreError
        When a step fails or the result does not hold together.
    """
    place = url.render_as_string()
    engine = make_migration_engine(url)
    try:
        with mapped(place), engine.connect() as connection:
            connection = connection.execution_options(write=True)  # noqa: PLW2901  the same one
            with connection.begin():
                command.upgrade(_config(connection), to)
                if url.get_backend_name() == "sqlite":
                    _check(connection, place)
                    connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
    finally:
        engine.dispose()


def _config(connection: Connection) -> Config:
    config = Config()
    config.set_main_option("script_location", "tubcare.store:migrations")
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def _check(connection: Connection, place: str) -> None:
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    sound = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all() == ["ok"]
    if broken or not sound:
        raise StoreDamagedError(
            place,
            "the logbook does not hold together after the update, so the update was taken back. "
            "Restore the newest backup with “tubcare restore”.",
        )
