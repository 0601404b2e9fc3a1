"""A desk over a logbook on each kind of database."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.support.clocks import StillClock, noon
from tests.support.stores import opened, server_is_expected
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tubcare.store.store import Store

KINDS = ["sqlite", "postgresql"] if server_is_expected() else ["sqlite"]


@pytest.fixture
def clock() -> StillClock:
    return StillClock(noon(2026, 5, 1))


@pytest.fixture(params=KINDS)
def store(request: pytest.FixtureRequest, tmp_path: Path, clock: StillClock) -> Iterator[Store]:
    yield from opened(request.param, tmp_path, clock.now())


@pytest.fixture
def desk(store: Store, clock: StillClock) -> Desk:
    desk = Desk(store, clock, "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="Europe/Helsinki", person="Ann")
    return desk
