"""A logbook on each kind of database."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.support.clocks import noon
from tests.support.stores import opened, server_is_expected

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tubcare.store.store import Store

KINDS = ["sqlite", "postgresql"] if server_is_expected() else ["sqlite"]


@pytest.fixture(params=KINDS)
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    yield from opened(request.param, tmp_path, noon(2026, 5, 1))


@pytest.fixture
def file_store(tmp_path: Path) -> Iterator[Store]:
    yield from opened("sqlite", tmp_path, noon(2026, 5, 1))
