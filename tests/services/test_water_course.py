"""The course of a reading: measured, marked, and expected until the next test."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from tubcare.errors import InputError
from tubcare.services.measures import add_readings
from tubcare.services.meters import add_fill
from tubcare.services.water_course import EventKind, water_course
from tubcare.services.water_do import do_step
from tubcare.services.water_plan import water_plan
from tubcare.services.water_shelf import put_product
from tubcare.water.compounds import Compound
from tubcare.water.products import usual_product
from tubcare.water.ranges import Quantity

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

BASE = {"ph": 7.4, "alkalinity_mg_l": 50.0}
RATE = 0.3


def fading(desk: Desk, tub: TubId, clock: StillClock, *, days: int = 3) -> None:
    """Write down a sanitiser that falls by a rate of 0.3 a day from 3 mg/L."""
    for day in range(days):
        add_readings(desk, tub, {**BASE, "free_chlorine_mg_l": 3.0 * math.exp(-RATE * day)})
        if day < days - 1:
            clock.go(days=1)


def test_the_loss_of_the_sanitiser_is_fitted_from_the_tubs_own_readings(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    fading(desk, tub, clock)
    loss = water_course(desk, tub, Quantity.FREE_CHLORINE).loss
    assert loss is not None
    assert loss.rate.rate_per_day == pytest.approx(RATE, abs=0.01)
    assert loss.rate.pairs == 2


def test_the_temperature_noted_beside_the_sanitiser_counts_in_its_loss(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    """Ten pairs at 3-15 °C, falling as 0.3 exp(-5000 (1/T - 1/T0)) a day, T0 6 °C."""
    for water_c in (3.0, 4.0, 5.0, 7.0, 9.0, 11.0, 12.0, 13.0, 14.0, 15.0):
        rate = 0.3 * math.exp(-5000.0 * (1 / (water_c + 273.15) - 1 / 279.15))
        for level in (3.0, 3.0 * math.exp(-rate)):
            values = {**BASE, "free_chlorine_mg_l": level, "water_c": water_c}
            add_readings(desk, tub, values)
            clock.go(days=1)
    loss = water_course(desk, tub, Quantity.FREE_CHLORINE).loss
    assert loss is not None
    assert loss.rate.temperature_fitted
    assert loss.rate.e_over_r_k == pytest.approx(5000.0, rel=0.1)


def test_the_next_test_is_due_when_the_sanitiser_may_reach_its_floor(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    fading(desk, tub, clock)
    found = water_course(desk, tub, Quantity.FREE_CHLORINE)
    # From 1.65 to 1 mg/L at 0.3 a day: ln(1.65)/0.3 = 1.67 days.
    level = 3.0 * math.exp(-2 * RATE)
    expected = clock.now() + timedelta(days=math.log(level / 1.0) / RATE)
    assert found.next_test is not None
    assert found.next_test <= expected.date()
    assert found.days[-1].on == found.next_test
    assert found.days[-1].expected is not None
    assert found.days[-1].expected.value == pytest.approx(
        level * math.exp(-RATE * (found.next_test - clock.now().date()).days), rel=0.02
    )


def test_doses_count_in_the_loss_and_are_marked_on_their_day(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    bleach = replace(usual_product(Compound.SODIUM_HYPOCHLORITE), name="Bleach")
    put_product(desk, bleach)
    add_readings(desk, tub, {**BASE, "free_chlorine_mg_l": 0.5})
    (step,) = water_plan(desk, tub).steps
    do_step(desk, tub, 1)
    clock.go(days=2)
    dosed = step.step.expected.test.free_chlorine_mg_l
    left = dosed * math.exp(-2 * RATE)
    add_readings(desk, tub, {**BASE, "free_chlorine_mg_l": left})
    found = water_course(desk, tub, Quantity.FREE_CHLORINE)
    assert found.loss is not None
    assert found.loss.rate.rate_per_day == pytest.approx(RATE, abs=0.02)
    (marked,) = [event for day in found.days for event in day.events]
    assert (marked.kind, marked.product) == (EventKind.DOSE, "Bleach")


def test_a_change_of_water_is_marked_and_parts_the_readings(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, {**BASE, "free_chlorine_mg_l": 3.0})
    clock.go(hours=2)
    add_fill(desk, tub, 400)
    clock.go(hours=22)
    add_readings(desk, tub, {**BASE, "free_chlorine_mg_l": 0.2})
    found = water_course(desk, tub, Quantity.FREE_CHLORINE)
    assert found.loss is None
    kinds = [event.kind for day in found.days for event in day.events]
    assert kinds == [EventKind.CHANGE]


def test_the_ph_is_expected_to_drift_towards_the_air(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, {"ph": 7.0, "alkalinity_mg_l": 60.0})
    found = water_course(desk, tub, Quantity.PH)
    coming = [day.expected for day in found.days if day.expected is not None]
    assert len(coming) == 4
    assert coming[0].value == pytest.approx(7.0, abs=0.01)
    assert coming[-1].low < coming[-1].value < coming[-1].high
    assert coming[-1].value > 7.0


def test_without_readings_nothing_is_expected(desk: Desk, tub: TubId) -> None:
    found = water_course(desk, tub, Quantity.FREE_CHLORINE)
    assert found.loss is None
    assert all(day.measured is None and day.expected is None for day in found.days)


def test_a_reading_without_a_range_has_no_course(desk: Desk, tub: TubId) -> None:
    with pytest.raises(InputError, match="no range"):
        water_course(desk, tub, Quantity.BROMINE)
