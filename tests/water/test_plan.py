"""The dosing plan: few additions, right order, and a forward check of what it promises."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.water.waters import SHELF, TARGETS, a_request, a_test, advised, kinds
from tubcare.errors import OutOfRangeError
from tubcare.water.balance import balance_of, totals_of
from tubcare.water.compounds import Compound, shifted
from tubcare.water.plan import plan
from tubcare.water.plan_model import AdviceKind, DosingPlan, PlanRequest, StepKind, Window
from tubcare.water.products import usual_product
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from collections.abc import Iterator


def tub_waters() -> st.SearchStrategy[WaterTest]:
    return st.builds(
        WaterTest,
        water_c=st.floats(2.0, 12.0),
        ph=st.floats(6.7, 8.5),
        alkalinity_mg_l=st.floats(15.0, 180.0),
        calcium_mg_l=st.floats(5.0, 240.0),
        tds_mg_l=st.floats(150.0, 900.0),
        free_chlorine_mg_l=st.floats(0.0, 4.0),
    )


def test_water_in_range_calls_for_nothing() -> None:
    found = plan(a_request(a_test()))
    assert found.steps == ()
    assert found.reached
    assert found.cost_minor == 0


def test_a_high_ph_calls_for_acid_alone() -> None:
    found = plan(a_request(a_test(ph=8.2)))
    assert set(kinds(found)) == {StepKind.ACID}
    assert found.additions == 1
    assert found.final.test.ph == pytest.approx(7.4, abs=0.02)


def test_low_sanitiser_is_dosed_to_its_aim() -> None:
    found = plan(a_request(a_test(free_chlorine_mg_l=0.3)))
    assert kinds(found) == [StepKind.SANITISER]
    assert found.final.test.free_chlorine_mg_l == pytest.approx(2.0, rel=0.01)


def test_the_order_is_alkalinity_acid_calcium_sanitiser() -> None:
    found = plan(
        a_request(a_test(ph=8.3, alkalinity_mg_l=20, calcium_mg_l=5, free_chlorine_mg_l=0))
    )
    order = [kind for kind in StepKind if kind in kinds(found)]
    assert list(dict.fromkeys(kinds(found))) == order
    assert kinds(found)[-1] is StepKind.SANITISER


def test_airing_raises_the_ph_where_alkalinity_is_right() -> None:
    found = plan(a_request(a_test(ph=6.8, alkalinity_mg_l=78.0)))
    assert kinds(found) == [StepKind.AERATE]
    assert found.final.test.alkalinity_mg_l == pytest.approx(78.0)


def test_without_airing_a_base_is_used() -> None:
    found = plan(a_request(a_test(ph=6.8, alkalinity_mg_l=40.0), may_aerate=False))
    assert StepKind.BASE in kinds(found)
    assert found.reached


def test_a_large_dose_is_split() -> None:
    found = plan(a_request(a_test(ph=8.6, alkalinity_mg_l=80.0)))
    acid = [step for step in found.steps if step.kind is StepKind.ACID]
    assert len(acid) > 1
    assert [step.part for step in acid] == list(range(1, len(acid) + 1))
    drops = [8.6] + [step.expected.test.ph for step in acid]
    assert all(a - b < 0.8 for a, b in itertools.pairwise(drops))


@settings(max_examples=25)
@given(test=tub_waters())
def test_the_last_expected_reading_is_the_sum_of_what_was_measured_out(test: WaterTest) -> None:
    found = plan(a_request(test))
    totals = totals_of(test)
    for step in found.steps:
        if step.product is None or step.portion is None:
            # Airing is not measured out.
            return
        mmol_l = step.product.mmol_l(step.portion.amount, 500.0)
        totals = shifted(totals, step.product.effect, mmol_l)
    assert found.final.test.ph == pytest.approx(
        balance_of(totals, water_c=test.water_c).ph, abs=1e-6
    )


@settings(max_examples=25)
@given(test=tub_waters())
def test_plan_by_plan_any_of_these_waters_is_brought_inside_the_ranges(test: WaterTest) -> None:
    """What a plan foretells is tested again; the sanitiser is there each time."""
    for found in plans_until_inside(test):
        assert found.reached
        assert found.final.test.calcium_mg_l >= 19.0
        assert found.final.test.free_chlorine_mg_l >= 0.95
    assert TARGETS.ph.contains(found.final.test.ph, slack=0.03)
    assert TARGETS.alkalinity.contains(found.final.test.alkalinity_mg_l, slack=1.0)


def plans_until_inside(test: WaterTest) -> Iterator[DosingPlan]:
    """Draw the plan after a plan, each from the reading that the one before foretells."""
    for _ in range(30):
        found = plan(a_request(test))
        yield found
        if AdviceKind.MORE_TURNS not in advised(found):
            return
        test = found.final.test
    pytest.fail("the plans do not end")


def test_hard_water_is_not_left_without_sanitiser_for_the_weeks_its_alkalinity_takes() -> None:
    """Nineteen days of acid and air, if all of it had to come before the chlorine."""
    test = a_test(ph=7.5, alkalinity_mg_l=270.0, calcium_mg_l=200.0, free_chlorine_mg_l=0.0)
    found = plan(a_request(test))
    assert kinds(found) == [StepKind.ACID, StepKind.SANITISER]
    assert TARGETS.ph.contains(found.final.test.ph)
    (left,) = (each.value for each in found.advice if each.kind is AdviceKind.MORE_TURNS)
    assert left is not None
    # A turn is acid, a test, air, a test.
    assert left < len(list(plans_until_inside(test))) <= 2 * (left + 1)
    assert sum(step.wait_min for step in found.steps) < 24 * 60


def test_the_price_of_a_plan_is_that_of_its_steps() -> None:
    found = plan(a_request(a_test(ph=8.3, free_chlorine_mg_l=0.2)))
    assert found.cost_minor == sum(step.cost_minor for step in found.steps) > 0


def test_bleach_is_preferred_to_dichlor() -> None:
    found = plan(a_request(a_test(free_chlorine_mg_l=0.3)))
    assert found.steps[0].compound is Compound.SODIUM_HYPOCHLORITE


def test_bromine_is_dosed_to_its_aim() -> None:
    window = Window(low=3.0, aim=4.0, high=6.0)
    item = replace(SHELF[0], product=usual_product(Compound.BROMINE_TABLET))
    targets = replace(TARGETS, free_chlorine=None, bromine=window)
    found = plan(a_request(a_test(free_chlorine_mg_l=0.0), shelf=(item,), targets=targets))
    assert found.final.test.bromine_mg_l == pytest.approx(4.0, rel=0.01)


def test_peroxide_is_dosed_to_its_aim() -> None:
    window = Window(low=30.0, aim=50.0, high=80.0)
    item = replace(SHELF[0], product=usual_product(Compound.HYDROGEN_PEROXIDE))
    targets = replace(TARGETS, free_chlorine=None, peroxide=window)
    found = plan(a_request(a_test(free_chlorine_mg_l=0.0), shelf=(item,), targets=targets))
    assert found.final.test.peroxide_mg_l == pytest.approx(50.0, rel=0.01)


def test_a_tub_too_small_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="volume_l"):
        PlanRequest(test=a_test(), volume_l=10.0, targets=TARGETS)
