"""A household in Helsinki with one tub, on each kind of database; it is the first of May, noon."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.reminders.screens import Screen
from tests.services.conftest import KINDS
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_tub
from tests.support.stores import opened
from tubcare.reminders.post import Post
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tubcare.store.store import Store
    from tubcare.values import TubId


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


@pytest.fixture
def tub(desk: Desk) -> TubId:
    return add_tub(desk)


@pytest.fixture
def screen() -> Screen:
    return Screen()


@pytest.fixture
def post(desk: Desk, screen: Screen) -> Post:
    return Post(desk, "Ann", "first", screen)
