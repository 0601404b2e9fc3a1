"""Logbooks for tests: a real SQLite file, or a schema of its own on a real PostgreSQL server."""

from __future__ import annotations

import os
import uuid
from typing import TYPE_CHECKING

from sqlalchemy import create_engine, make_url, text

from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime
    from pathlib import Path

    from tubcare.store.store import Store

SERVER = os.environ.get("TUBCARE_TEST_PG_URL", "")


def server_is_expected() -> bool:
    """Return whether tests on a server must run: always in CI, elsewhere when one is named."""
    return bool(SERVER) or os.environ.get("CI") == "true"


def new_address(kind: str, folder: Path) -> str:
    """Return the address of a logbook that does not exist yet."""
    if kind == "sqlite":
        return str(folder / "logbook.db")
    name = f"t{uuid.uuid4().hex[:16]}"
    engine = create_engine(SERVER)
    with engine.begin() as connection:
        connection.execute(text(f"CREATE SCHEMA {name}"))
    engine.dispose()
    url = make_url(SERVER).update_query_dict({"options": f"-csearch_path={name}"})
    return url.render_as_string(hide_password=False)


def opened(kind: str, folder: Path, now: datetime) -> Iterator[Store]:
    """Yield a new, empty logbook and close it."""
    store = open_store(new_address(kind, folder), now)
    yield store
    store.close()
