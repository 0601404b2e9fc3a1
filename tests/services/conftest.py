"""A desk over a logbook on each kind of database."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.support.clocks import StillClock, noon
from tests.support.dosing import put_on_shelf, when
from tests.support.plans import add_task, add_tub
from tests.support.stores import opened, server_is_expected
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.water_shelf import put_measure
from tubcare.water.compounds import Compound
from tubcare.water.measures import Measure
from tubcare.water.products import Form

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from tubcare.store.store import Store
    from tubcare.values import SupplyId, TaskId, TubId

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


@pytest.fixture
def tub(desk: Desk) -> TubId:
    return add_tub(desk)


@pytest.fixture
def acid(desk: Desk) -> SupplyId:
    return put_on_shelf(desk, "pH minus", Compound.SODIUM_BISULFATE)


@pytest.fixture
def shelf(desk: Desk) -> None:
    put_on_shelf(desk, "pH minus", Compound.SODIUM_BISULFATE)
    put_on_shelf(desk, "Bleach", Compound.SODIUM_HYPOCHLORITE)
    put_measure(desk, Measure(name="scoop", capacity_ml=2.5, for_form=Form.SOLID))


@pytest.fixture
def correct(desk: Desk, tub: TubId, acid: SupplyId) -> TaskId:
    return add_task(
        desk,
        tub,
        title="Correct the pH",
        category="water",
        triggers=when("ph outside range"),
        supplies={acid: 5_000},
    )


@pytest.fixture
def retest(desk: Desk, tub: TubId) -> TaskId:
    triggers = when("untested_doses >= 1")
    return add_task(desk, tub, title="Test again", category="water", triggers=triggers)
