"""An open logbook: reads see one moment, writes are one transaction."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from sqlalchemy import text

from tubcare.store.faults import mapped
from tubcare.store.unit import Unit

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from sqlalchemy import Connection, Engine


class Store:
    """The only door to a logbook's database.

    Parameters
    ----------
    engine
        Made by `tubcare.store.engine.make_engine`.
    path
        The file, None for a server.
    """

    def __init__(self, engine: Engine, path: Path | None) -> None:
        self._engine = engine
        self._watch: Connection | None = None
        self.path = path

    @property
    def place(self) -> str:
        """Where the logbook lies, as shown to a person; a password never shows."""
        return str(self.path) if self.path else self._engine.url.render_as_string()

    @property
    def on_server(self) -> bool:
        """Whether several computers share this logbook."""
        return self.path is None

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """Open a transaction that only reads.

        Raises
        ------
        StoreError
            When the database cannot be read.
        """
        with mapped(self.place), self._engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def write(self) -> Iterator[Unit]:
        """Open a transaction that writes: all of it is kept, or nothing.

        Raises
        ------
        StoreError
            When the database refuses; nothing was changed.
        """
        with mapped(self.place), self._engine.connect() as connection:
            connection = connection.execution_options(write=True)  # noqa: PLW2901  the same one
            with connection.begin():
                yield Unit(connection)

    def change_mark(self) -> int:
        """Return a number that moves when somebody has written to the logbook since."""
        if self.on_server:
            statement = "SELECT coalesce(max(id), 0) FROM action"
            with self.read() as connection:
                return int(connection.execute(text(statement)).scalar_one())
        # The number belongs to one connection, so the same one is asked each time.
        with mapped(self.place):
            if self._watch is None:
                self._watch = self._engine.connect()
            found = int(self._watch.exec_driver_sql("PRAGMA data_version").scalar_one())
            self._watch.rollback()
            return found

    def close(self) -> None:
        """Give back all connections."""
        if self._watch is not None:
            self._watch.close()
            self._watch = None
        self._engine.dispose()
