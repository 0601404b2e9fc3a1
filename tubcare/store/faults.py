"""Turns what the database driver raises into errors that a person can act on."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from sqlalchemy.exc import DBAPIError, StatementError

from tubcare.errors import (
    StoreBusyError,
    StoreDamagedError,
    StoreError,
    StoreFullError,
    StorePlaceError,
    StoreReadOnlyError,
    StoreUnreachableError,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

_KINDS: tuple[tuple[str, type[StoreError], str], ...] = (
    (
        "SQLITE_BUSY",
        StoreBusyError,
        "another program is writing to this logbook. Nothing was changed; try again in a moment.",
    ),
    (
        "SQLITE_LOCKED",
        StoreBusyError,
        "another program holds this logbook. Nothing was changed; close it there and try again.",
    ),
    (
        "SQLITE_FULL",
        StoreFullError,
        "the disk is full. Nothing was changed; free some space and try again.",
    ),
    (
        "SQLITE_READONLY",
        StoreReadOnlyError,
        (
            "the file or its folder may not be written. Nothing was changed; make both writable "
            "or open a copy in your own folder."
        ),
    ),
    (
        "SQLITE_CANTOPEN",
        StorePlaceError,
        "the file cannot be opened. Check that the folder exists and that you may read it.",
    ),
    (
        "SQLITE_NOTADB",
        StoreDamagedError,
        (
            "this file is not a logbook. It was left as it is; choose another file, or restore a "
            "backup with “tubcare restore”."
        ),
    ),
    (
        "SQLITE_CORRUPT",
        StoreDamagedError,
        (
            "the logbook file is damaged. It was left as it is; restore the newest backup with "
            "“tubcare restore”."
        ),
    ),
    (
        "SQLITE_IOERR",
        StoreError,
        (
            "the disk could not be read or written. Nothing was changed; check the disk and its "
            "free space, then try again."
        ),
    ),
)


def _name(error: DBAPIError) -> str:
    return str(getattr(error.orig, "sqlite_errorname", "") or "")


def _first_line(error: DBAPIError) -> str:
    """Return what the driver says, without its advice on further lines."""
    lines = str(error.orig).strip().splitlines() or [""]
    return lines[0].removeprefix("connection failed: ")


def as_store_error(error: DBAPIError, place: str) -> StoreError:
    """Return the typed error for what the driver raised."""
    name = _name(error)
    for prefix, kind, reason in _KINDS:
        if name.startswith(prefix):
            return kind(place, reason)
    if error.connection_invalidated or (
        not name and type(error.orig).__name__ == "OperationalError"
    ):
        return StoreUnreachableError(place, _first_line(error))
    return StoreError(place, f"the database refused the change: {error.orig}")


@contextmanager
def mapped(place: str) -> Iterator[None]:
    """Run the body; what the driver raises leaves it as a `StoreError`."""
    try:
        yield
    except DBAPIError as error:
        raise as_store_error(error, place) from error
    except StatementError as error:
        raise StoreError(place, f"a value does not fit the database: {error.orig}") from error
