"""The dosing plan: few additions, right order, and a forward check of what it promises."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.water.waters import RESOURCES, SHELF, SOFT_FILL, TARGETS, a_request, a_test
from tubcare.errors import InputError, OutOfRangeError
from tubcare.water.balance import balance_of, totals_of
from tubcare.water.cautions import never_together, parse_cautions
from tubcare.water.compounds import (
    ACIDS,
    EFFECTS,
    HYPOCHLORITES,
    ISOCYANURATES,
    NEUTRALISERS,
    Compound,
    shifted,
)
from tubcare.water.drift import (
    LIDDED_WATER,
    OPEN_WATER,
    DriftAdvice,
    month_ahead,
    ph_after,
    resting_alkalinity,
)
from tubcare.water.measures import SOLUBLE, Measure, portion, stock_solution
from tubcare.water.plan import plan
from tubcare.water.plan_model import AdviceKind, DosingPlan, PlanRequest, StepKind, Window
from tubcare.water.products import Form, Product, StrengthKind, usual_product
from tubcare.water.reading import WaterTest

if TYPE_CHECKING:
    from collections.abc import Iterator


def kinds(found: DosingPlan) -> list[StepKind]:
    return [step.kind for step in found.steps]


def advised(found: DosingPlan) -> set[AdviceKind]:
    return {advice.kind for advice in found.advice}


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


def test_dichlor_is_left_out_where_cyanurate_would_pass_its_limit() -> None:
    dichlor = [i for i in SHELF if i.product.compound is Compound.DICHLOR_DIHYDRATE]
    test = a_test(free_chlorine_mg_l=0.0, cyanuric_acid_mg_l=19.5)
    found = plan(a_request(test, shelf=dichlor))
    assert found.steps == ()
    assert not found.reached
    assert AdviceKind.CYANURATE_LEFT_OUT in advised(found)


def test_bleach_is_preferred_to_dichlor() -> None:
    found = plan(a_request(a_test(free_chlorine_mg_l=0.3)))
    assert found.steps[0].compound is Compound.SODIUM_HYPOCHLORITE


def test_too_much_cyanurate_calls_for_a_change_of_water() -> None:
    found = plan(a_request(a_test(cyanuric_acid_mg_l=60.0), fill=SOFT_FILL))
    assert found.steps[0].kind is StepKind.CHANGE_WATER
    assert found.change is not None
    assert found.final.test.cyanuric_acid_mg_l <= 20.0
    assert AdviceKind.CHANGE_NEEDED in advised(found)


def test_a_change_beats_dosing_against_a_high_alkalinity() -> None:
    found = plan(a_request(a_test(ph=7.5, alkalinity_mg_l=160.0), fill=SOFT_FILL))
    assert found.change is not None
    assert AdviceKind.CHANGE_BEATS_DOSING in advised(found)
    assert found.change.litres == pytest.approx(found.steps[0].change_l)
    assert found.cost_minor >= found.steps[0].cost_minor > 0


def test_no_more_water_is_changed_than_the_range_asks_for() -> None:
    """Down from 100 to 76 mg/L with fill water of 30 takes a third; to the aim, six sevenths."""
    soft = replace(SOFT_FILL, test=replace(SOFT_FILL.test, alkalinity_mg_l=30.0))
    found = plan(a_request(a_test(alkalinity_mg_l=100.0), fill=soft))
    assert found.change is not None
    assert found.change.litres == pytest.approx(500.0 * 24.0 / 70.0, rel=0.01)
    assert TARGETS.alkalinity.contains(found.final.test.alkalinity_mg_l)


def test_without_fill_water_the_plan_still_says_what_dilution_should_do() -> None:
    found = plan(a_request(a_test(cyanuric_acid_mg_l=60.0)))
    assert AdviceKind.CHANGE_NEEDED in advised(found)
    assert not found.reached


def test_fill_water_that_does_not_help_is_named() -> None:
    hard = replace(SOFT_FILL, test=replace(SOFT_FILL.test, calcium_mg_l=300.0))
    found = plan(a_request(a_test(calcium_mg_l=290.0), fill=hard))
    assert AdviceKind.FILL_WATER_NO_HELP in advised(found)


def test_what_the_shelf_lacks_is_said() -> None:
    found = plan(a_request(a_test(free_chlorine_mg_l=0.0, ph=8.4), shelf=()))
    assert {AdviceKind.SHELF_LACKS, AdviceKind.NOT_REACHED} <= advised(found)
    assert not found.reached


@pytest.mark.parametrize(("ph", "alkalinity", "lacks"), [(8.4, 60.0, "acid"), (6.4, 15.0, "base")])
def test_the_kind_of_product_that_is_lacking_is_named(
    ph: float, alkalinity: float, lacks: str
) -> None:
    found = plan(a_request(a_test(ph=ph, alkalinity_mg_l=alkalinity), shelf=()))
    about = {each.about for each in found.advice if each.kind is AdviceKind.SHELF_LACKS}
    assert about == {lacks}


def test_a_stock_that_runs_short_is_said() -> None:
    shelf = [replace(item, left=0.5) for item in SHELF]
    assert AdviceKind.STOCK_SHORT in advised(plan(a_request(a_test(ph=8.3), shelf=shelf)))


def test_a_high_sanitiser_is_left_to_fall() -> None:
    found = plan(a_request(a_test(free_chlorine_mg_l=6.0)))
    assert found.steps == ()
    assert AdviceKind.SANITISER_HIGH in advised(found)


def test_chlorine_in_a_peroxide_water_is_warned_of() -> None:
    found = plan(a_request(a_test(peroxide_mg_l=20.0)))
    assert AdviceKind.PEROXIDE_WITH_CHLORINE in advised(found)


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


def test_every_step_of_a_product_has_cautions_and_a_wait() -> None:
    book = parse_cautions((RESOURCES / "cautions.toml").read_text("utf-8"))
    found = plan(a_request(a_test(ph=8.3, calcium_mg_l=5, free_chlorine_mg_l=0)))
    for step in found.steps:
        assert step.wait_min > 0
        assert step.compound is not None
        assert len(book.of(step.compound)) > 6


def test_a_tub_too_small_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="volume_l"):
        PlanRequest(test=a_test(), volume_l=10.0, targets=TARGETS)


def test_an_open_water_rests_at_the_ph_of_its_alkalinity() -> None:
    state = balance_of(totals_of(a_test(free_chlorine_mg_l=0.0)), water_c=5.0)
    wanted = resting_alkalinity(state, ph=7.8)
    resting = a_test(alkalinity_mg_l=wanted, free_chlorine_mg_l=0.0, ph=7.4)
    settled = balance_of(totals_of(resting), water_c=5.0)
    assert ph_after(settled, days=300, rate_per_day=0.5) == pytest.approx(7.8, abs=0.01)


def test_high_alkalinity_is_advised_down_not_fought_with_acid() -> None:
    state = balance_of(totals_of(a_test(alkalinity_mg_l=100.0)), water_c=5.0)
    found = month_ahead(state, ph_low=7.0, ph_aim=7.4, ph_high=8.0, lowest_alkalinity_mg_l=30.0)
    assert found.advice is DriftAdvice.LOWER_ALKALINITY
    assert found.advised_alkalinity_mg_l == pytest.approx(45.0, abs=6.0)
    assert found.corrections_high >= 2
    assert found.acid_mmol_l > 0.0


@pytest.mark.parametrize("alkalinity", [50.0, 75.0, 100.0])
def test_the_customary_alkalinity_of_50_to_100_does_not_rest_in_range(alkalinity: float) -> None:
    """At 5 °C it rests at pH 8.0-8.4: the month ahead says so, and to what to lower it."""
    state = balance_of(totals_of(a_test(alkalinity_mg_l=alkalinity)), water_c=5.0)
    found = month_ahead(state, ph_low=7.0, ph_aim=7.4, ph_high=7.8, lowest_alkalinity_mg_l=15.0)
    assert 8.0 < found.rest_ph < 8.4
    assert found.advice is DriftAdvice.LOWER_ALKALINITY
    assert found.advised_alkalinity_mg_l == pytest.approx(28.0, abs=3.0)
    assert found.advised_rest_ph == 7.8


def test_water_at_the_advised_alkalinity_needs_no_more_acid() -> None:
    state = balance_of(totals_of(a_test(alkalinity_mg_l=90.0)), water_c=5.0)
    ahead = partial(month_ahead, ph_low=7.0, ph_aim=7.4, ph_high=7.8, lowest_alkalinity_mg_l=15.0)
    found = ahead(state)
    assert found.advised_alkalinity_mg_l is not None
    lower = a_test(alkalinity_mg_l=found.advised_alkalinity_mg_l - 1.0)
    after = balance_of(totals_of(lower), water_c=5.0)
    then = ahead(after)
    assert found.corrections_high > then.corrections_high == 0
    assert then.acid_mmol_l == 0.0
    assert then.advice is DriftAdvice.STAYS_IN_RANGE


def test_where_the_range_forbids_a_lower_alkalinity_the_drift_is_told_as_it_is() -> None:
    state = balance_of(totals_of(a_test(alkalinity_mg_l=90.0)), water_c=5.0)
    found = month_ahead(state, ph_low=7.0, ph_aim=7.4, ph_high=7.8, lowest_alkalinity_mg_l=60.0)
    assert found.advice is DriftAdvice.LOWEST_ALKALINITY_STILL_DRIFTS
    assert found.advised_alkalinity_mg_l == 60.0
    assert found.advised_rest_ph == pytest.approx(8.12, abs=0.03)


def test_a_lid_slows_the_drift() -> None:
    state = balance_of(totals_of(a_test(alkalinity_mg_l=100.0)), water_c=5.0)
    open_days, lidded_days = (
        month_ahead(
            state,
            ph_low=7.0,
            ph_aim=7.4,
            ph_high=7.8,
            lowest_alkalinity_mg_l=30.0,
            exchange=exchange,
        ).leaves_range_day_early
        for exchange in (OPEN_WATER, LIDDED_WATER)
    )
    assert open_days is not None
    assert lidded_days is not None
    assert lidded_days > open_days


MUST_SAY = {
    **dict.fromkeys(HYPOCHLORITES | ISOCYANURATES, ("never_mix", "acid", "another kind")),
    **dict.fromkeys(ACIDS, ("never_chlorine", "chlorine")),
    Compound.BROMINE_TABLET: ("never_mix", "chlorine", "acid"),
    Compound.HYDROGEN_PEROXIDE: ("never_mix", "chlorine"),
    **dict.fromkeys(NEUTRALISERS, ("never", "chlorine")),
}


@pytest.mark.parametrize("compound", sorted(MUST_SAY))
def test_what_a_product_must_never_meet_stands_in_its_own_cautions(compound: Compound) -> None:
    book = parse_cautions((RESOURCES / "cautions.toml").read_text("utf-8"))
    (text,) = [c.text for c in book.of(compound) if c.key.split(".")[1].startswith("never")]
    for needed in MUST_SAY[compound][1:]:
        assert needed in text, needed


@pytest.mark.parametrize("compound", [c for c in Compound if c is not Compound.SODIUM_CHLORIDE])
def test_every_product_is_stored_apart_and_dangerous_dust_or_fumes_are_aired(
    compound: Compound,
) -> None:
    book = parse_cautions((RESOURCES / "cautions.toml").read_text("utf-8"))
    names = {caution.key.split(".")[1] for caution in book.of(compound)}
    assert "store_apart" in names
    if compound in ACIDS | HYPOCHLORITES | ISOCYANURATES | {Compound.BROMINE_TABLET}:
        assert "ventilate" in names


def test_cautions_missing_for_a_product_are_refused() -> None:
    text = (RESOURCES / "cautions.toml").read_text("utf-8").replace('trichlor = "isocyan', '# "')
    with pytest.raises(InputError, match="trichlor"):
        parse_cautions(text)


@pytest.mark.parametrize("compound", list(Compound))
def test_every_product_has_cautions_of_its_own_and_the_general_ones(compound: Compound) -> None:
    book = parse_cautions((RESOURCES / "cautions.toml").read_text("utf-8"))
    keys = [caution.key for caution in book.of(compound)]
    assert keys[0].split(".")[0] != "general"
    for general in ("follow_label", "product_into_water", "gloves_eyes"):
        assert f"general.{general}" in keys


@pytest.mark.parametrize(
    ("first", "second", "never"),
    [
        (Compound.SODIUM_HYPOCHLORITE, Compound.HYDROCHLORIC_ACID, True),
        (Compound.SODIUM_HYPOCHLORITE, Compound.TRICHLOR, True),
        (Compound.SODIUM_HYPOCHLORITE, Compound.CALCIUM_HYPOCHLORITE, True),
        (Compound.DICHLOR, Compound.HYDROGEN_PEROXIDE, True),
        (Compound.SODA_ASH, Compound.SODIUM_HYPOCHLORITE, False),
        (Compound.SODIUM_BISULFATE, Compound.SODIUM_BISULFATE, False),
    ],
)
def test_products_that_must_never_meet(first: Compound, second: Compound, never: bool) -> None:
    assert never_together(first, second) is never
    assert never_together(second, first) is never


SOLID_CHLORINES = (
    Compound.CALCIUM_HYPOCHLORITE,
    Compound.DICHLOR,
    Compound.DICHLOR_DIHYDRATE,
    Compound.TRICHLOR,
)


@pytest.mark.parametrize("compound", SOLID_CHLORINES)
def test_the_figure_of_a_solid_chlorine_is_its_available_chlorine(
    compound: Compound,
) -> None:
    usual = usual_product(compound)
    # A gram puts as many milligrams of chlorine into a litre as its label says, times ten.
    chlorine_mg = usual.mmol_l(1.0, 1.0) * EFFECTS[compound].chlorine * 70.906
    assert usual.kind is StrengthKind.AVAILABLE_CHLORINE_PERCENT
    assert chlorine_mg == pytest.approx(usual.strength * 10.0, rel=1e-3)


def test_a_label_that_rounds_its_available_chlorine_up_counts_as_the_pure_compound() -> None:
    # 2 x 70.906 / 255.98 (IUPAC 2021 masses) is 55.4 %; its labels say 56 %.
    label = replace(usual_product(Compound.DICHLOR_DIHYDRATE), strength=56.0)
    assert label.pure_per_unit == pytest.approx(1.0)
    with pytest.raises(InputError, match="more than the pure compound"):
        replace(label, strength=62.0)


def test_a_label_in_trade_per_cent_counts_available_chlorine_by_volume() -> None:
    """Trade per cent: g of available chlorine in 100 mL (common practice)."""
    bleach = usual_product(Compound.SODIUM_HYPOCHLORITE)
    assert bleach.amount(2.0 / 70.9, 1000.0) == pytest.approx(2.0 / 0.125, rel=1e-6)


def test_hydrochloric_acid_of_31_per_cent() -> None:
    """31.45 % at 1.16 g/mL holds 365 g/L (handbook density, from memory)."""
    acid = usual_product(Compound.HYDROCHLORIC_ACID)
    assert 1000 * acid.pure_per_unit == pytest.approx(365.0, abs=0.5)


def test_a_label_stronger_than_pure_is_refused() -> None:
    with pytest.raises(InputError, match="strength"):
        Product(
            name="x",
            compound=Compound.DICHLOR,
            kind=StrengthKind.AVAILABLE_CHLORINE_PERCENT,
            strength=80.0,
        )


def test_an_amount_is_rounded_to_the_scoop_at_hand() -> None:
    spoon = Measure(name="teaspoon", capacity_ml=5.0, divisions=2)
    found = portion(usual_product(Compound.SODA_ASH), 10.3, [spoon])
    assert found.measured is not None
    assert found.measured.count == 2.0
    assert found.amount == pytest.approx(10.0)


def test_an_amount_too_small_to_scoop_is_offered_as_a_solution() -> None:
    spoon = Measure(name="teaspoon", capacity_ml=5.0, divisions=2)
    found = portion(usual_product(Compound.SODIUM_BISULFATE), 0.8, [spoon])
    assert found.measured is None
    assert found.stock is not None
    drawn = found.stock.solid_g * found.stock.use_ml / found.stock.made_ml
    assert drawn == pytest.approx(0.8, rel=0.05)
    assert found.amount == pytest.approx(drawn, rel=0.005)


def test_an_amount_that_no_scoop_hits_is_offered_as_whole_scoops_dissolved() -> None:
    scoop = Measure(name="scoop", capacity_ml=10.0, divisions=1, for_form=Form.SOLID)
    cup = Measure(name="cup", capacity_ml=100.0, divisions=10, for_form=Form.LIQUID)
    found = portion(usual_product(Compound.SODA_ASH), 15.0, [scoop, cup])
    # Two scoops hold 20 g; 15 g of them are in three quarters of the litre: 7.5 of the cup.
    assert found.measured is None
    assert found.stock is not None
    assert (found.stock.scoops, found.stock.solid_g, found.stock.made_ml) == (2, 20.0, 1000.0)
    assert found.stock.use_ml == pytest.approx(750.0)
    assert found.stock.measured is not None
    assert found.stock.measured.count == pytest.approx(7.5)


@given(
    amount=st.floats(0.05, 300.0),
    capacity=st.floats(0.5, 60.0),
    divisions=st.sampled_from([1, 2]),
    compound=st.sampled_from(sorted(SOLUBLE)),
)
def test_a_stock_solution_holds_the_dose_within_a_tenth_and_is_dilute(
    amount: float, capacity: float, divisions: int, compound: Compound
) -> None:
    scoop = Measure(name="scoop", capacity_ml=capacity, divisions=divisions)
    product = usual_product(compound)
    found = stock_solution(product, amount, [scoop])
    assume(found is not None)
    assert found is not None
    assert found.solid_g * found.use_ml / found.made_ml == pytest.approx(amount, rel=0.1001)
    # 6.9 g of bicarbonate dissolve in 100 g of water at 0 °C (handbook table, from memory).
    assert found.solid_g / found.made_ml <= 0.069 / 2
    assert found.use_ml <= found.made_ml * 1.1001
    assert found.solid_g == pytest.approx(found.scoops * capacity * product.density_kg_l)


@pytest.mark.parametrize(
    "compound",
    [
        Compound.TRICHLOR,
        Compound.BROMINE_TABLET,
        Compound.CYANURIC_ACID,
        Compound.BORAX,
        Compound.CAUSTIC_SODA,
        Compound.CALCIUM_HYPOCHLORITE,
    ],
)
def test_what_makes_no_harmless_solution_is_weighed(compound: Compound) -> None:
    spoon = Measure(name="teaspoon", capacity_ml=5.0, divisions=1)
    found = portion(usual_product(compound), 0.8, [spoon])
    assert (found.measured, found.stock) == (None, None)
    assert found.amount == 0.8


def test_without_a_scoop_for_solids_a_solid_is_weighed() -> None:
    syringe = Measure(name="syringe", capacity_ml=10.0, divisions=10, for_form=Form.LIQUID)
    found = portion(usual_product(Compound.SODA_ASH), 3.21, [syringe])
    assert (found.measured, found.stock, found.amount) == (None, None, 3.21)


def test_a_syringe_is_for_liquids_only() -> None:
    syringe = Measure(name="syringe", capacity_ml=10.0, divisions=20, for_form=Form.LIQUID)
    solid = portion(usual_product(Compound.SODA_ASH), 10.0, [syringe])
    liquid = portion(usual_product(Compound.SODIUM_HYPOCHLORITE), 7.4, [syringe])
    assert solid.measured is None
    assert liquid.measured is not None
    assert liquid.amount == pytest.approx(7.5)
