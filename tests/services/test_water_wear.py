"""The change of the water: weighed by bathers, age and what gathers in it; and the level."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.support.dosing import IN_RANGE, due, when
from tests.support.plans import add_task
from tubcare.services.measures import add_dip, add_readings
from tubcare.services.meters import add_fill
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.upkeep_work import record_work
from tubcare.services.water_wear import water_wear
from tubcare.store.tables import TaskRow
from tubcare.water.change import ChangeReason

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


def test_the_change_of_water_is_weighed_by_bathers_salts_cyanurate_and_age(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_fill(desk, tub, 400)
    clock.go(days=30)
    add_dip(desk, tub, dips=20)
    add_readings(desk, tub, {**IN_RANGE, "cyanurate_mg_l": 15.0, "tds_mg_l": 300.0})
    weights = {each.reason: each.share for each in water_wear(desk, tub).advice.weights}
    # 20 dips of 4 L in 400 L; 30 of 61 days; 15 of 20 mg/L; 300 of 1500 mg/L.
    assert weights[ChangeReason.BATHERS] == pytest.approx(0.2)
    assert weights[ChangeReason.AGE] == pytest.approx(30 / 61, abs=0.01)
    assert weights[ChangeReason.CYANURIC_ACID] == pytest.approx(0.75)
    assert weights[ChangeReason.DISSOLVED_SOLIDS] == pytest.approx(0.2)
    assert next(iter(weights)) is ChangeReason.CYANURIC_ACID


@pytest.mark.parametrize(
    ("dips", "values"), [(110, IN_RANGE), (1, {**IN_RANGE, "cyanurate_mg_l": 25.0})]
)
def test_any_weight_that_is_full_makes_the_change_due_and_fresh_water_clears_it(
    desk: Desk, tub: TubId, clock: StillClock, dips: int, values: dict[str, float]
) -> None:
    task = add_task(
        desk,
        tub,
        title="Change the water",
        category="water",
        triggers=when("water_wear_percent >= 100"),
    )
    add_fill(desk, tub, 400)
    clock.go(days=2)
    add_dip(desk, tub)
    assert task not in due(desk)
    add_dip(desk, tub, dips=dips)
    add_readings(desk, tub, values)
    assert task in due(desk)
    clock.go(hours=2)
    add_fill(desk, tub, 400)
    add_readings(desk, tub, IN_RANGE)
    add_readings(desk, tub, {"cyanurate_mg_l": 0.0})
    assert task not in due(desk)


def test_age_that_came_after_the_newest_fact_is_not_told_as_of_its_day(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    task = add_task(desk, tub, category="water", triggers=when("water_wear_percent >= 100"))
    add_fill(desk, tub, 400)
    clock.go(days=50)
    add_dip(desk, tub)
    clock.go(days=100)
    assert water_wear(desk, tub).advice.due
    assert task not in due(desk)


def test_much_topped_up_under_a_lid_asks_for_a_look_at_the_level(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    triggers = when("top_up_week_percent > 3")
    task = add_task(desk, tub, title="Check the level", category="water", triggers=triggers)
    add_fill(desk, tub, 10, kind="top_up")
    assert task not in due(desk)
    add_fill(desk, tub, 10, kind="top_up")
    assert task in due(desk)
    assert water_wear(desk, tub).topped_up_week_l == 20
    clock.go(hours=1)
    tick_off(desk, task, due(desk)[task].occurrence.key)
    clock.go(hours=1)
    assert task not in due(desk), "a look is not asked for twice"
    add_fill(desk, tub, 1, kind="top_up")
    assert task in due(desk)


def test_ticking_the_change_of_water_counts_as_one_without_litres(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_fill(desk, tub, 400)
    clock.go(days=40)
    add_dip(desk, tub, dips=60)
    assert water_wear(desk, tub).advice.weights[0].share > 0.5
    task = add_task(desk, tub, title="Change the water", category="water")
    with desk.write("change_task", "Change the water", frozenset()) as unit:
        unit.change(TaskRow, task, template_key="water.change")
    record_work(desk, task, Work(), restarts=True)
    clock.go(days=1)
    assert water_wear(desk, tub).advice.weights[0].share < 0.1
