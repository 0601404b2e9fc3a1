"""Water outside the liner's window brings its inspection forward."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.support.dosing import IN_RANGE, due, when
from tests.support.plans import START, add_task, add_tub
from tubcare.care.profile import profile_to_data
from tubcare.care.reasons import ReadingReason
from tubcare.services.liner_exposure import liner_exposure
from tubcare.services.measures import add_readings
from tubcare.store.tables import TubRow
from tubcare.values import Liner, TubProfile

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId, TubId


@pytest.fixture
def metal(desk: Desk) -> TubId:
    tub = add_tub(desk, name="Shore")
    profile = TubProfile(name="Shore", zone="Europe/Helsinki", liner=Liner.ALUMINIUM)
    with desk.write("change_profile", "Shore", frozenset()) as unit:
        unit.change(TubRow, tub, profile=profile_to_data(profile))
    return tub


def inspection(desk: Desk, tub: TubId) -> TaskId:
    return add_task(
        desk,
        tub,
        title="Inspect the liner",
        category="liner",
        triggers=[
            {"kind": "elapsed", "every": 2, "period": "month"},
            *when("liner_exposure_percent >= 100"),
        ],
        starts_on=START,
    )


def test_water_outside_the_liners_window_brings_the_inspection_forward(
    desk: Desk, metal: TubId, clock: StillClock
) -> None:
    task = inspection(desk, metal)
    for _day in range(8):
        add_readings(desk, metal, {**IN_RANGE, "ph": 8.9})
        clock.go(days=3)
    found = due(desk)[task]
    assert isinstance(found.occurrence.reason, ReadingReason)
    assert found.occurrence.due_on < date(2026, 6, 1)


def test_water_inside_the_window_leaves_the_inspection_where_it_is(
    desk: Desk, metal: TubId, clock: StillClock
) -> None:
    task = inspection(desk, metal)
    clock.set(START)
    for _day in range(15):
        add_readings(desk, metal, {**IN_RANGE, "ph": 7.2})
        clock.go(days=3)
    assert task not in due(desk)


def test_exposure_counts_gaps_as_unknown_and_says_how_far_the_water_was_outside(
    desk: Desk, metal: TubId, clock: StillClock
) -> None:
    clock.set(START)
    add_readings(desk, metal, {**IN_RANGE, "ph": 8.7})
    clock.go(days=2)
    add_readings(desk, metal, {**IN_RANGE, "ph": 8.7})
    clock.go(days=20)
    found = liner_exposure(desk, metal)
    assert found.exposure is not None
    assert not found.inspected
    # Two days half a unit above 8.2, then nothing known.
    assert found.exposure.ph.days_above == pytest.approx(2.0, abs=0.01)
    assert found.exposure.ph.above == pytest.approx(1.0, abs=0.01)
    assert found.exposure.ph.unknown_days == pytest.approx(20.5, abs=0.6)
    assert found.exposure.inspection_share < 1.0
