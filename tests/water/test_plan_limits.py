"""What no plan does: more than is needed, too much at once, the wrong things close together."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.water.waters import SHELF, SOFT_FILL, TARGETS, a_request, a_test
from tubcare.errors import InputError, OutOfRangeError
from tubcare.water.balance import balance, balance_of, totals_of
from tubcare.water.cautions import never_together
from tubcare.water.compounds import ACIDS, BASES, Compound, Effect, shifted
from tubcare.water.drift import OPEN_WATER, ph_after
from tubcare.water.equilibrium import solve_ph
from tubcare.water.measures import Measure
from tubcare.water.plan import plan
from tubcare.water.plan_model import StepKind, Window
from tubcare.water.products import usual_product
from tubcare.water.reading import Totals, WaterTest
from tubcare.water.strips import Band, band_of, strip_test

if TYPE_CHECKING:
    from tubcare.water.plan_model import DosingPlan

VOLUME_L = 500.0
CORRECTORS = {StepKind.ACID, StepKind.BASE, StepKind.RAISE_ALKALINITY}
PH_PADS = [6.2, 6.8, 7.2, 7.6, 8.0, 8.4]
ALKALINITY_PADS = [0.0, 40.0, 80.0, 120.0, 180.0, 240.0]
CHLORINE_PADS = [0.0, 0.5, 1.0, 3.0, 5.0, 10.0]


def odd_waters() -> st.SearchStrategy[WaterTest]:
    return st.builds(
        WaterTest,
        water_c=st.floats(0.0, 14.0),
        ph=st.floats(6.5, 8.8),
        alkalinity_mg_l=st.floats(10.0, 250.0),
        calcium_mg_l=st.floats(5.0, 240.0),
        tds_mg_l=st.floats(150.0, 1500.0),
        free_chlorine_mg_l=st.floats(0.0, 4.0),
    )


def inside(totals: Totals, water_c: float) -> bool:
    try:
        ph = solve_ph(totals, water_c=water_c)
    except (InputError, OutOfRangeError):
        return False
    return TARGETS.ph.contains(ph) and TARGETS.alkalinity.contains(totals.alkalinity_mg_l)


def without_correctors(found: DosingPlan, test: WaterTest) -> Totals:
    """Return the totals with only the plan's calcium and sanitiser in them."""
    totals = totals_of(test)
    for step in found.steps:
        if step.kind in {StepKind.CALCIUM, StepKind.SANITISER}:
            assert step.product is not None
            assert step.portion is not None
            mmol_l = step.product.mmol_l(step.portion.amount, VOLUME_L)
            totals = shifted(totals, step.product.effect, mmol_l)
    return totals


def any_dose_leads_inside(totals: Totals, effect: Effect, water_c: float) -> bool:
    """Try 800 doses up to 5 meq/L, one after the other."""
    most = 5.0 / abs(effect.alkalinity)
    return any(inside(shifted(totals, effect, most * k / 800), water_c) for k in range(1, 801))


@settings(max_examples=12)
@given(test=odd_waters())
def test_no_plan_adds_more_products_than_a_blind_search_needs(test: WaterTest) -> None:
    """Every acid and base of the shelf tried alone, dose by dose, without our solver."""
    found = plan(a_request(test, may_aerate=False))
    used = {step.compound for step in found.steps if step.kind in CORRECTORS}
    totals = without_correctors(found, test)
    assert not used or not inside(totals, test.water_c)
    if len(used) > 1 or not found.reached:
        effects = [i.product.effect for i in SHELF if i.product.compound in ACIDS | BASES]
        assert not any(any_dose_leads_inside(totals, e, test.water_c) for e in effects)


@settings(max_examples=40)
@given(test=odd_waters(), air=st.booleans())
def test_no_portion_moves_the_water_too_far(test: WaterTest, *, air: bool) -> None:
    """Common practice, no source: 0.5 pH, 40 mg/L alkalinity, 60 calcium, 5 chlorine."""
    found = plan(a_request(test, may_aerate=air))
    readings = [test, *(step.expected.test for step in found.steps)]
    for step, (before, after) in zip(found.steps, itertools.pairwise(readings), strict=True):
        if step.portion is None:
            continue
        # Rounding may carry a tenth of one portion into the next.
        assert abs(after.ph - before.ph) < 0.56
        assert abs(after.alkalinity_mg_l - before.alkalinity_mg_l) < 44.0
        assert after.calcium_mg_l - before.calcium_mg_l < 66.0
        assert after.free_chlorine_mg_l - before.free_chlorine_mg_l < 5.5


@settings(max_examples=40)
@given(test=odd_waters())
def test_what_must_never_meet_is_kept_apart_by_a_wait(test: WaterTest) -> None:
    found = plan(a_request(test))
    for first, second in itertools.pairwise(found.steps):
        if first.compound is not None and second.compound is not None:
            apart = not never_together(first.compound, second.compound)
            assert apart or first.wait_min >= 30


@settings(max_examples=40)
@given(test=odd_waters())
def test_one_plan_never_holds_two_kinds_of_chlorine(test: WaterTest) -> None:
    found = plan(a_request(test, fill=SOFT_FILL))
    kinds = {step.compound for step in found.steps if step.kind is StepKind.SANITISER}
    assert len(kinds) <= 1


@settings(max_examples=30)
@given(test=odd_waters())
def test_with_fill_water_every_plan_without_airing_comes_inside_too(test: WaterTest) -> None:
    found = plan(a_request(test, fill=SOFT_FILL, may_aerate=False))
    assert found.reached
    assert TARGETS.ph.contains(found.final.test.ph, slack=0.03)


@pytest.mark.parametrize(
    ("compound", "window", "largest"),
    [
        (Compound.BROMINE_TABLET, Window(low=10.0, aim=25.0, high=30.0), 10.0),
        (Compound.HYDROGEN_PEROXIDE, Window(low=60.0, aim=120.0, high=150.0), 50.0),
    ],
)
def test_large_doses_of_other_sanitisers_are_split_as_well(
    compound: Compound, window: Window, largest: float
) -> None:
    bromine = compound is Compound.BROMINE_TABLET
    name = "bromine" if bromine else "peroxide"
    targets = replace(
        TARGETS,
        free_chlorine=None,
        bromine=window if bromine else None,
        peroxide=None if bromine else window,
    )
    item = replace(SHELF[0], product=usual_product(compound))
    test = a_test(free_chlorine_mg_l=0.0)
    found = plan(a_request(test, shelf=(item,), targets=targets))
    levels = [0.0, *(getattr(s.expected.test, f"{name}_mg_l") for s in found.steps)]
    assert levels[-1] == pytest.approx(window.aim, rel=0.01)
    assert all(b - a <= 1.05 * largest for a, b in itertools.pairwise(levels))


def test_airing_takes_as_long_as_the_carbon_dioxide_needs() -> None:
    """The wait is the day on which the drift of an open water, at its fast end, passes there."""
    test = a_test(ph=6.8, alkalinity_mg_l=78.0)
    (step,) = plan(a_request(test)).steps
    days = step.wait_min / (24 * 60)
    start = balance_of(totals_of(test), water_c=5.0)
    reached, day_before = (
        ph_after(start, days=day, rate_per_day=OPEN_WATER.high_per_day) for day in (days, days - 1)
    )
    assert days > 1
    assert day_before < step.expected.test.ph <= reached
    assert step.retest_min == step.wait_min


@settings(max_examples=30)
@given(
    ph=st.integers(0, 5),
    alkalinity=st.integers(1, 4),
    chlorine=st.integers(0, 3),
    place=st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0)),
)
def test_dosing_for_a_strip_never_overshoots_whatever_the_colours_hid(
    ph: int, alkalinity: int, chlorine: int, place: tuple[float, float, float]
) -> None:
    """The plan is drawn for the mildest reading; the truth may lie anywhere in the bands.

    Up to the first airing, after which the person tests again. Where acid lowers a high
    alkalinity it passes below the range before the airing, as a plan for a known reading does too.
    """
    bands = {
        "ph": band_of(PH_PADS, ph),
        "alkalinity_mg_l": band_of(ALKALINITY_PADS, alkalinity),
        "free_chlorine_mg_l": band_of(CHLORINE_PADS, chlorine),
    }
    aims = {"ph": 7.4, "alkalinity_mg_l": 40.0, "free_chlorine_mg_l": 2.0}
    strip = strip_test(bands, water_c=6.0, aims=aims, fill=SOFT_FILL.test)
    found = plan(a_request(strip.mildest))
    values = {
        n: b.low + p * (b.high - b.low) for (n, b), p in zip(bands.items(), place, strict=True)
    }
    truth = replace(strip.middle, **values)
    after = totals_of(truth)
    for step in found.steps:
        if step.product is None or step.portion is None:
            break
        mmol_l = step.product.mmol_l(step.portion.amount, VOLUME_L)
        after = shifted(after, step.product.effect, mmol_l)
    ends = solve_ph(after, water_c=6.0)
    floor = 7.0 if TARGETS.alkalinity.contains(strip.mildest.alkalinity_mg_l) else 6.5
    # Bleach lifts the pH of the least buffered corner of the bands a little.
    assert min(truth.ph, floor) - 0.01 <= ends <= max(truth.ph, TARGETS.ph.high) + 0.25
    assert after.free_chlorine_mg_l <= max(truth.free_chlorine_mg_l, 3.0) + 0.01


@settings(max_examples=40)
@given(test=odd_waters(), size=st.floats(1.0, 8.0))
def test_scoops_add_up_to_the_dose_within_a_tenth_of_it(test: WaterTest, size: float) -> None:
    """Whatever each portion is rounded to, the rest is carried on: only the last error stays."""
    scoop = Measure(name="scoop", capacity_ml=size, divisions=2)
    weighed, scooped = (
        plan(a_request(test, may_aerate=False, fill=SOFT_FILL, measures=measures))
        for measures in ((), (scoop,))
    )
    doses = [amounts(found) for found in (weighed, scooped)]
    assert doses[0].keys() == doses[1].keys()
    for product, exact in doses[0].items():
        assert doses[1][product] == pytest.approx(exact, rel=0.101)


def amounts(found: DosingPlan) -> dict[str, float]:
    """Return how much of each product a plan uses."""
    used: dict[str, float] = {}
    for step in found.steps:
        if step.product is not None and step.portion is not None:
            used[step.product.name] = used.get(step.product.name, 0.0) + step.portion.amount
    return used


def test_a_strip_whose_corner_is_no_water_still_counts_what_lies_beside_it() -> None:
    """Cyanurate alone carries more than no alkalinity; half the band with the lowest pH is one."""
    bands = {
        "ph": band_of(PH_PADS, 2),
        "alkalinity_mg_l": band_of(ALKALINITY_PADS, 0),
        "calcium_mg_l": Band(low=100.0, high=100.0),
        "cyanuric_acid_mg_l": Band(low=20.0, high=20.0),
    }
    found = strip_test(bands, water_c=8.0, aims={})
    beside = replace(found.middle, ph=bands["ph"].low)
    assert found.saturation_low <= balance(beside).saturation_index
