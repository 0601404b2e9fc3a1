"""How the water stands, through the service, on both databases."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from tests.support.plans import add_task
from tubcare.care.profile import profile_to_data
from tubcare.errors import InputError
from tubcare.services.history import undo
from tubcare.services.measures import add_readings
from tubcare.services.ranges import edit_range, reset_range, tub_ranges
from tubcare.services.water_entry import Entry, add_test
from tubcare.services.water_kit import change_kit, tub_kit
from tubcare.services.water_now import water_now
from tubcare.services.week import this_week
from tubcare.store.tables import DoseRow, TubRow
from tubcare.values import Liner, TubProfile
from tubcare.water.combined import CombinedCall
from tubcare.water.completed import Scaling
from tubcare.water.galvanic import Metal, PairKind
from tubcare.water.judged import Judged, Standing, Unknown
from tubcare.water.kit import Kit
from tubcare.water.ranges import Quantity
from tubcare.water.strips import Source

if TYPE_CHECKING:
    from tests.support.clocks import StillClock
    from tubcare.services.desk import Desk
    from tubcare.values import TubId

GOOD = {"ph": 7.4, "free_chlorine_mg_l": 2.0, "alkalinity_mg_l": 60.0, "water_c": 5.0}


def of(desk: Desk, quantity: Quantity) -> Judged:
    return next(each for each in water_now(desk).judged if each.quantity is quantity)


def test_water_that_was_never_tested_is_unknown_in_every_range(desk: Desk, tub: TubId) -> None:
    found = water_now(desk, tub)
    assert found.step_in.unknown == len(found.judged) > 3
    assert found.index is None
    assert found.age is None


def test_a_reading_outside_its_range_says_by_how_much_and_by_which_document(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, {**GOOD, "free_chlorine_mg_l": 0.4})
    found = of(desk, Quantity.FREE_CHLORINE)
    assert found.standing is Standing.BELOW
    assert found.by == pytest.approx(0.6)
    assert "WHO 2006" in found.limits.document
    assert found.limits.section


def test_a_week_later_the_sanitiser_is_unknown_and_the_alkalinity_still_holds(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, GOOD)
    clock.go(days=8)
    assert of(desk, Quantity.FREE_CHLORINE).unknown is Unknown.TOO_OLD
    assert of(desk, Quantity.ALKALINITY).standing is Standing.INSIDE
    assert water_now(desk).age == timedelta(days=8)


def test_combined_chlorine_follows_from_free_and_total_read_together(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, {**GOOD, "total_chlorine_mg_l": 2.9})
    found = of(desk, Quantity.COMBINED_CHLORINE)
    assert found.sighting is not None
    assert found.sighting.value == pytest.approx(0.9)
    assert found.standing is Standing.ABOVE


def test_combined_chlorine_stays_that_of_the_last_two_read_together(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    # By hand: 2.9 less 2.5; the free chlorine of an hour later has no total beside it.
    add_readings(desk, tub, {"ph": 7.4, "free_chlorine_mg_l": 2.5, "total_chlorine_mg_l": 2.9})
    clock.go(hours=1)
    add_readings(desk, tub, {"free_chlorine_mg_l": 2.6})
    found = of(desk, Quantity.COMBINED_CHLORINE).sighting
    assert found is not None
    assert found.value == pytest.approx(0.4)
    assert found.at == clock.now() - timedelta(hours=1)


def test_the_index_stands_on_the_tub_temperature_and_says_what_was_assumed(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, GOOD)
    found = water_now(desk)
    assert found.measured_c
    assert found.water_c == 5.0
    assert found.index is not None
    assert found.index.scaling is Scaling.DISSOLVES
    assert [(a.field, a.source) for a in found.assumed] == [("calcium_mg_l", Source.TYPICAL)]


def test_an_earlier_alkalinity_serves_and_is_said(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    add_readings(desk, tub, GOOD)
    clock.go(days=3)
    add_readings(desk, tub, {"ph": 7.3, "free_chlorine_mg_l": 1.5})
    assumed = {a.field: a for a in water_now(desk).assumed}
    assert assumed["alkalinity_mg_l"].source is Source.LAST_TEST
    assert assumed["alkalinity_mg_l"].value == 60.0


def test_values_that_contradict_each_other_give_no_index_but_a_reason(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, {"ph": 9.9, "alkalinity_mg_l": 1.0, "free_chlorine_mg_l": 50.0})
    found = water_now(desk)
    assert found.index is None
    assert found.contradiction


def test_the_wait_after_a_dose_is_told_until_it_is_over(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    until = clock.now() + timedelta(hours=2)
    with desk.write("add_dose", "North", frozenset()) as unit:
        unit.add(
            DoseRow,
            tub_id=tub,
            product="Bleach",
            amount=5.0,
            unit="ml",
            on_date=clock.now().date(),
            at=clock.now(),
            wait_until=until,
        )
    clock.go(hours=0.5)
    assert water_now(desk).step_in.waiting == timedelta(hours=1.5)
    clock.go(hours=2)
    assert water_now(desk).step_in.waiting is None


def test_a_loosened_range_is_warned_of_and_holds_for_readings_and_tasks(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, {**GOOD, "ph": 8.0})
    task = add_task(
        desk, tub, title="Correct", triggers=[{"kind": "reading", "when": "ph outside range"}]
    )
    assert [item.task for item in this_week(desk).due_today] == [task]
    edited = edit_range(desk, tub, Quantity.PH, low=7.0, aim=7.4, high=8.2)
    assert [(w.end, w.default, w.edited) for w in edited.loosened] == [("high", 7.8, 8.2)]
    assert of(desk, Quantity.PH).standing is Standing.INSIDE
    assert not this_week(desk).due_today


def test_the_range_of_the_book_comes_back_by_reset_and_by_undo(desk: Desk, tub: TubId) -> None:
    edit_range(desk, tub, Quantity.PH, low=7.2, aim=7.3, high=7.4)
    reset_range(desk, tub, Quantity.PH)
    assert not any(each.edited for each in tub_ranges(desk, tub))
    undo(desk)
    assert of(desk, Quantity.PH).limits.high == 7.4
    assert of(desk, Quantity.PH).edited


def test_a_range_out_of_order_is_refused(desk: Desk, tub: TubId) -> None:
    with pytest.raises(InputError):
        edit_range(desk, tub, Quantity.PH, low=7.6, aim=7.4, high=7.2)


@pytest.mark.parametrize(
    ("total", "call"),
    [
        (2.2, CombinedCall.NOTHING),
        (3.5, CombinedCall.FRESH_WATER),
        (1.5, CombinedCall.RETEST),
    ],
)
def test_combined_chlorine_says_what_it_calls_for(
    desk: Desk, tub: TubId, total: float, call: CombinedCall
) -> None:
    add_readings(desk, tub, {**GOOD, "total_chlorine_mg_l": total})
    combined = water_now(desk).combined
    assert combined is not None
    assert combined.call is call


def test_chlorine_and_peroxide_in_one_water_are_told_with_what_they_leave(
    desk: Desk, tub: TubId
) -> None:
    add_readings(desk, tub, {**GOOD, "peroxide_mg_l": 0.6})
    found = water_now(desk, tub).clash
    assert found is not None
    # 0.48 mg of peroxide ends 1 mg of chlorine (molar masses, 34.01 / 70.91): 0.6 ends 1.25 of 2.
    assert found.chlorine_mg_l == pytest.approx(0.75, abs=0.01)
    assert found.peroxide_mg_l == pytest.approx(0.0, abs=1e-6)


def test_lime_that_may_fall_out_is_told_with_how_much(desk: Desk, tub: TubId) -> None:
    add_readings(desk, tub, {**GOOD, "ph": 8.4, "alkalinity_mg_l": 220, "hardness_mg_l": 350})
    index = water_now(desk, tub).index
    assert index is not None
    assert index.scaling is Scaling.DEPOSITS
    # No more than the calcium or the carbonate that there is.
    assert 5.0 < index.scale_mg_l < 220.0


def test_borate_of_the_kit_is_read_and_its_part_told(desk: Desk, tub: TubId) -> None:
    change_kit(desk, tub, Kit(fields=("ph", "boron_mg_l"), strips={"boron_mg_l": (0, 15, 30, 50)}))
    add_test(desk, tub, Entry(values={"ph": 8.1}, colours={"boron_mg_l": 2}))
    found = water_now(desk, tub)
    assert found.borate is not None
    # 31 mg/L of boron, of which 1/23 is borate at pH 8.1 and 5 °C (pKa 9.44, by hand), in mg/L.
    assert found.borate.alkalinity_mg_l == pytest.approx(31.25 / 10.81 / 23 * 50.04, rel=0.12)
    assert found.borate.steadies > 0.05


def test_copper_in_the_water_of_an_aluminium_liner_is_warned_of(desk: Desk, tub: TubId) -> None:
    profile = TubProfile(name="North", zone="Europe/Helsinki", liner=Liner.ALUMINIUM)
    with desk.write("change_profile", "North", frozenset()) as unit:
        unit.change(TubRow, tub, profile=profile_to_data(profile))
    assert not water_now(desk).pairs
    change_kit(desk, tub, replace(tub_kit(desk, tub), metals=frozenset({Metal.COPPER})))
    (pair,) = water_now(desk).pairs
    assert (pair.attacked, pair.kind) == (Metal.ALUMINIUM, PairKind.PLATED_COPPER)
