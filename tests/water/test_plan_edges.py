"""Plans and doses at the edges: hardly any calcium, a scoop too coarse, much air to give off.

No outside figures: each test states what mass balance and Henry's law forbid. The waters are
invented, found by searching at random for the ones that go wrong most easily.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.water.waters import SHELF, a_request
from tubcare.water.balance import totals_of
from tubcare.water.compounds import Compound, dosed
from tubcare.water.equilibrium import at_rest_with_air, solve_ph
from tubcare.water.inverse import dose_to_ph
from tubcare.water.measures import Measure
from tubcare.water.plan import plan
from tubcare.water.plan_model import ShelfItem, StepKind, Targets, Window
from tubcare.water.products import usual_product
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from tubcare.water.plan_model import DosingPlan

PH = Window(low=7.0, aim=7.4, high=7.8)


def shelf_of(*compounds: Compound) -> tuple[ShelfItem, ...]:
    return tuple(ShelfItem(product=usual_product(compound)) for compound in compounds)


def alkalinity_from(low: float) -> Targets:
    return Targets(ph=PH, alkalinity=Window(low=low, aim=low + 20.0, high=low + 60.0))


def amount_g(found: DosingPlan) -> float:
    """Return what the portions hold as measured. [g]."""
    portions = [step.portion for step in found.steps if step.portion is not None]
    return sum(each.amount for each in portions)


def test_bicarbonate_that_cannot_raise_the_ph_of_a_water_without_calcium_is_none() -> None:
    test = WaterTest(
        water_c=25.0,
        ph=6.65,
        alkalinity_mg_l=233.6,
        calcium_mg_l=0.0,
        tds_mg_l=84.0,
        cyanuric_acid_mg_l=10.4,
    )
    for target in (8.5, 8.6, 8.7, 8.741, 8.8, 8.9):
        dose = dose_to_ph(
            totals_of(test), Compound.SODIUM_BICARBONATE, water_c=25.0, target_ph=target
        )
        assert dose is None


def test_a_curved_dose_is_found_too() -> None:
    """Cyanuric acid binds the chlorine as it goes in: far from a straight line."""
    test = WaterTest(
        water_c=35.0,
        ph=8.75,
        alkalinity_mg_l=260.0,
        calcium_mg_l=405.0,
        tds_mg_l=315.0,
        free_chlorine_mg_l=18.0,
    )
    totals = totals_of(test)
    dose = dose_to_ph(totals, Compound.CYANURIC_ACID, water_c=35.0, target_ph=7.9)
    assert dose is not None
    after = dosed(totals, Compound.CYANURIC_ACID, dose)
    assert solve_ph(after, water_c=35.0) == pytest.approx(7.9, abs=1e-9)


@pytest.mark.parametrize("ph", [6.5, 6.8, 7.1, 7.4, 7.7])
def test_a_shelf_with_bicarbonate_plans_for_a_water_without_calcium(ph: float) -> None:
    test = WaterTest(water_c=35.0, ph=ph, alkalinity_mg_l=112.0, calcium_mg_l=0.0, tds_mg_l=2750.0)
    targets = Targets(
        ph=Window(low=7.5, aim=8.35, high=8.9), alkalinity=Window(low=160, aim=190, high=300)
    )
    found = plan(a_request(test, targets=targets, shelf=SHELF, may_aerate=False))
    assert found.final.test.alkalinity_mg_l >= test.alkalinity_mg_l


def test_a_base_that_would_end_beyond_all_ph_is_left_out_of_the_plan() -> None:
    test = WaterTest(water_c=2.0, ph=7.2, alkalinity_mg_l=15.0, calcium_mg_l=50.0, tds_mg_l=300.0)
    shelf = shelf_of(Compound.CAUSTIC_SODA, Compound.SODA_ASH)
    found = plan(a_request(test, targets=alkalinity_from(160.0), shelf=shelf))
    assert not found.reached
    assert found.final.test.ph <= 8.6


@pytest.mark.parametrize("capacity_ml", [2.0, 2.5, 5.0, 7.5])
def test_scoops_too_coarse_for_the_portions_still_add_up_to_the_dose(capacity_ml: float) -> None:
    test = WaterTest(
        water_c=2.0, ph=8.6, alkalinity_mg_l=140.0, calcium_mg_l=100.0, tds_mg_l=150.0
    )
    request = a_request(
        test,
        volume_l=200.0,
        targets=alkalinity_from(30.0),
        shelf=shelf_of(Compound.SODIUM_BISULFATE),
        may_aerate=False,
    )
    scoop = Measure(name="scoop", capacity_ml=capacity_ml, divisions=1)
    scooped = replace(request, measures=(scoop,))
    assert amount_g(plan(scooped)) == pytest.approx(amount_g(plan(request)), rel=0.101)


def test_scoops_that_would_end_outside_give_way_to_weight() -> None:
    test = WaterTest(water_c=5.0, ph=8.4, alkalinity_mg_l=60.0, calcium_mg_l=80.0, tds_mg_l=250.0)
    narrow = Window(low=7.39, aim=7.4, high=7.41)
    for tenths in range(10, 60):
        scoop = Measure(name="scoop", capacity_ml=tenths / 10.0, divisions=1)
        targets = Targets(ph=narrow, alkalinity=Window(low=20.0, aim=50.0, high=80.0))
        found = plan(a_request(test, targets=targets, measures=(scoop,)))
        assert found.reached
        assert narrow.contains(found.final.test.ph, slack=0.02)


@pytest.mark.parametrize("ph", [6.2, 6.8, 7.0, 7.3])
@pytest.mark.parametrize("alkalinity_mg_l", [112.0, 150.0, 225.0])
def test_no_airing_goes_beyond_rest_with_the_air(ph: float, alkalinity_mg_l: float) -> None:
    """Henry's law: airing ends where the carbon dioxide is that of the air."""
    test = WaterTest(
        water_c=8.0, ph=ph, alkalinity_mg_l=alkalinity_mg_l, calcium_mg_l=180.0, tds_mg_l=1860.0
    )
    targets = Targets(
        ph=Window(low=7.2, aim=7.6, high=8.0), alkalinity=Window(low=37.0, aim=57.0, high=97.0)
    )
    found = plan(a_request(test, targets=targets, shelf=shelf_of(Compound.HYDROCHLORIC_ACID)))
    aired = [step.expected.test for step in found.steps if step.kind is StepKind.AERATE]
    assert aired
    for each in aired:
        rest_ph, _ = at_rest_with_air(totals_of(each), water_c=8.0)
        assert each.ph <= rest_ph + 0.02
