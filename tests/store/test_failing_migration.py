"""An update that fails halfway leaves the logbook as it was, with a backup beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from sqlalchemy import inspect, text

from tests.support.clocks import noon
from tests.support.stores import new_address, server_is_expected
from tubcare.errors import StoreError
from tubcare.store.backup import backups
from tubcare.store.engine import make_engine
from tubcare.store.migrate import migrate
from tubcare.store.open import open_store
from tubcare.store.places import logbook_url
from tubcare.store.schema import HEAD, REVISIONS
from tubcare.store.tables import Base

if TYPE_CHECKING:
    from pathlib import Path

    from sqlalchemy import Engine

NOW = noon(2026, 5, 1)
KINDS = ["sqlite", "postgresql"] if server_is_expected() else ["sqlite"]


def tables(engine: Engine) -> set[str]:
    return set(inspect(engine).get_table_names())


@pytest.mark.parametrize("kind", KINDS)
def test_an_update_that_fails_halfway_is_taken_back_whole(kind: str, tmp_path: Path) -> None:
    url = logbook_url(new_address(kind, tmp_path))
    migrate(url, to=REVISIONS[0])
    engine = make_engine(url)
    with engine.begin() as connection:
        first = tables(engine)
        # The last table of a later step is there already, so that its making fails after others.
        later = sorted(set(Base.metadata.tables) - first)
        assert len(later) > 1
        connection.execute(text(f"CREATE TABLE {later[-1]} (odd INTEGER)"))
    with pytest.raises(StoreError, match=later[-1]):
        open_store(url.render_as_string(hide_password=False), NOW)
    assert tables(engine) == first | {later[-1]}
    with engine.begin() as connection:
        found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
        assert found == REVISIONS[0]
        connection.execute(text(f"DROP TABLE {later[-1]}"))
    engine.dispose()
    if kind == "sqlite":
        assert [each.why for each in backups(tmp_path / "logbook.db")] == ["before-update"]
    open_store(url.render_as_string(hide_password=False), NOW).close()
    again = make_engine(url)
    with again.begin() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).scalar() == HEAD
    again.dispose()
