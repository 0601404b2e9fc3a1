"""The water in words, in the units of the kit; it never judges people."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tubcare.resource_files import read_text
from tubcare.values import Liner, Sanitiser
from tubcare.water.balance import balance
from tubcare.water.clash import Clash
from tubcare.water.combined import Combined, CombinedCall, combined_chlorine
from tubcare.water.completed import IndexNow, Scaling
from tubcare.water.compounds import Compound
from tubcare.water.draining import neutralising
from tubcare.water.drift import month_ahead
from tubcare.water.galvanic import Metal, galvanic_pairs
from tubcare.water.judged import Sighting
from tubcare.water.kit import Kit
from tubcare.water.measures import Measure, portion
from tubcare.water.plan_model import AdviceKind, StepKind
from tubcare.water.products import Form, StrengthKind, usual_product
from tubcare.water.ranges import Quantity, parse_ranges
from tubcare.water.reading import WaterTest
from tubcare.water.step_in import StepIn
from tubcare.water.strips import Band
from tubcare.water.units import Dimension, Unit
from tubcare.words.sentences import water, water_advice, water_care, water_plan
from tubcare.words.sentences.water_amounts import scoops_text
from tubcare.words.sentences.water_care import combined_text
from tubcare.words.water_products import COMPOUNDS, STRENGTHS
from tubcare.words.water_values import kit_value, sighting_text

if TYPE_CHECKING:
    from tubcare.words.locale import Speech

NBSP = "\N{NO-BREAK SPACE}"
TIMES = "\N{MULTIPLICATION SIGN}"
NOW = datetime(2026, 5, 6, 12, tzinfo=UTC)
SENTENCES = Path(water.__file__).parent


def step_in(english: Speech, **facts: object) -> str:
    usual = StepIn(inside=3, outside=0, unknown=0, age=timedelta(hours=2))
    return " ".join(water.step_in_text(english, replace(usual, **facts)))  # type: ignore[arg-type]


def test_whoever_wants_to_step_in_is_told_facts_only(english: Speech) -> None:
    told = step_in(english, outside=1, unknown=2, waiting=timedelta(minutes=75))
    assert "1 reading lies outside the tub's ranges." in told
    assert "2 values are not known." in told
    assert "Tested 2 hours ago." in told
    assert f"still runs: 1{NBSP}h" in told


def test_whoever_wants_to_step_in_is_told_what_the_test_does_not_know(english: Speech) -> None:
    assert "added since that test, 5 hours ago" in step_in(english, added=timedelta(hours=5))
    assert step_in(english, drained=True) == "The tub is closed and holds no water."


@pytest.mark.parametrize(
    ("state", "left", "test_from", "told"),
    [
        ("steps", 2, None, "Next: 2 steps under “What to add”."),
        ("steps", 0, "16:00", "Next: test again from 16:00 on."),
        ("nothing_to_do", 0, None, "Next: test again by Friday."),
        ("out_of_reach", 0, None, "Next: “What to add” says why no step leads into the ranges."),
        ("no_test", 0, None, "Next: No test yet. Enter one to see what to add."),
    ],
)
def test_what_comes_next_is_told(
    english: Speech, state: str, left: int, test_from: str | None, told: str
) -> None:
    assert told == water_plan.next_text(
        english, state=state, left=left, test_from=test_from, test_by="Friday"
    )


def test_no_sentence_about_the_water_says_safe() -> None:
    for path in SENTENCES.glob("water*.py"):
        assert "safe" not in path.read_text(encoding="utf-8").casefold(), path.name


@pytest.mark.parametrize(
    ("unit", "told"),
    [
        (Unit.MG_L, f"89{NBSP}mg/L"),
        (Unit.GERMAN_DEGREE, f"5{NBSP}°dH"),
        (Unit.MMOL_L, f"0.89{NBSP}mmol/L"),
    ],
)
def test_values_are_told_in_the_unit_of_the_kit(english: Speech, unit: Unit, told: str) -> None:
    kit = Kit(fields=(), units={Dimension.HARDNESS: unit})
    assert kit_value(english, kit, "hardness_mg_l", 89.24) == told


def test_numbers_follow_the_habits_of_the_locale(german: Speech) -> None:
    assert kit_value(german, Kit(fields=()), "free_chlorine_mg_l", 1.5) == f"1,5{NBSP}mg/L"


def test_a_strip_is_told_as_its_band(english: Speech) -> None:
    seen = Sighting(value=7.25, at=NOW, band=Band(low=7.0, high=7.5))
    assert sighting_text(english, Kit(fields=()), "ph", seen) == "7 to 7.5"


@pytest.mark.parametrize("liner", list(Liner))
@pytest.mark.parametrize("scaling", list(Scaling))
def test_the_index_means_something_for_every_liner(
    english: Speech, liner: Liner, scaling: Scaling
) -> None:
    index = IndexNow(value=0.0, low=0.0, high=0.0, scaling=scaling)
    assert water.index_meaning(english, index, liner).endswith(".")


def test_the_index_is_told_with_its_sign_and_its_range_where_it_is_wide(english: Speech) -> None:
    index = IndexNow(value=0.14, low=-0.2, high=0.4, scaling=Scaling.BALANCED)
    told = water.index_text(english, index, "5 °C")
    assert told == "Saturation index +0.1 at 5 °C (between -0.2 and +0.4)"


def test_every_product_step_and_remark_has_its_words() -> None:
    assert set(COMPOUNDS) == set(Compound)
    assert set(STRENGTHS) == set(StrengthKind)
    assert set(water_advice._ADVICE) == set(AdviceKind)
    assert set(water_plan._KINDS) == set(StepKind)
    assert set(water_care.METALS) == set(Metal)


def test_copper_beside_aluminium_is_told_as_what_it_does(english: Speech) -> None:
    (pair,) = galvanic_pairs({Metal.ALUMINIUM, Metal.COPPER})
    assert "copper in the same water plates out on aluminium" in water_care.galvanic_text(
        english, pair
    )


def test_draining_defers_to_local_rules(english: Speech) -> None:
    found = neutralising(Compound.THIOSULFATE_PENTAHYDRATE, volume_l=100.0, free_chlorine_mg_l=2.0)
    told = water_care.neutralise_text(english, found)
    assert "Local rules decide where the water may go." in told
    assert f"first 0.3{NBSP}g" in told


def test_a_stock_solution_is_told_in_whole_scoops_and_the_part_that_goes_in(
    english: Speech,
) -> None:
    scoop = Measure(name="scoop", capacity_ml=10.0, divisions=1, for_form=Form.SOLID)
    cup = Measure(name="cup", capacity_ml=100.0, divisions=10, for_form=Form.LIQUID)
    soda = usual_product(Compound.SODA_ASH)
    told = scoops_text(english, portion(soda, 15.0, [scoop, cup]))
    assert told == (
        f"dissolve 2 {TIMES} scoop (20{NBSP}g) in cold water to make 1,000{NBSP}ml, "
        f"then add 750{NBSP}ml (7 {TIMES} cup and once to its 50{NBSP}ml mark) of it"
    )
    assert scoops_text(english, portion(soda, 15.0, [cup])) == "weigh it"


@pytest.mark.parametrize(
    ("amount", "divisions", "told"),
    [
        (9.5, 20, f"syringe to its 9.5{NBSP}ml mark"),
        (20.0, 20, f"2 {TIMES} syringe"),
        (13.5, 20, f"1 {TIMES} syringe and once to its 3.5{NBSP}ml mark"),
        (5.0, 2, f"0.5 {TIMES} syringe"),
    ],
)
def test_a_measure_with_marks_is_read_at_its_millilitres(
    english: Speech, amount: float, divisions: int, told: str
) -> None:
    syringe = Measure(name="syringe", capacity_ml=10.0, divisions=divisions, for_form=Form.LIQUID)
    bleach = usual_product(Compound.SODIUM_HYPOCHLORITE)
    assert scoops_text(english, portion(bleach, amount, [syringe])) == told


def test_the_ph_of_what_goes_out_is_told_where_it_is_known(english: Speech) -> None:
    found = neutralising(Compound.ASCORBIC_ACID, volume_l=100.0, free_chlorine_mg_l=2.0)
    told = water_care.neutralise_text(english, found, 7.08)
    assert "Its pH is then about 7.1: test that too." in told


def test_chlorine_beside_peroxide_is_told_as_what_is_left(english: Speech) -> None:
    told = water_care.clash_text(
        english, Kit(fields=()), Clash(chlorine_mg_l=0.75, peroxide_mg_l=0.0)
    )
    assert f"leaves 0.75{NBSP}mg/L of free chlorine" in told
    assert "never both" in told


def test_much_topped_up_hints_at_a_leak(english: Speech) -> None:
    assert "look for a leak" in water_care.leak_text(english, 20.0, 500.0)
    assert "leak" not in water_care.leak_text(english, 5.0, 500.0)
    assert water_care.leak_text(english, 0.0, 500.0) == ""


def test_a_dose_against_combined_chlorine_stands_with_its_cautions(english: Speech) -> None:
    found = Combined(
        combined_mg_l=0.8,
        call=CombinedCall.BREAKPOINT,
        least_dose_mg_l=6.1,
        practice_dose_mg_l=8.0,
    )
    told = combined_text(english, Kit(fields=()), found, 400.0)
    for caution in ("closed to people", "Never mix", "with acid", "gloves", "eye protection"):
        assert caution in told


def test_combined_chlorine_is_told_with_the_litres_that_end_it(english: Speech) -> None:
    found = combined_chlorine(free_mg_l=1.0, total_mg_l=2.0, limit_mg_l=0.5, highest_free_mg_l=5.0)
    assert found.fresh_share == pytest.approx(0.55)
    told = combined_text(english, Kit(fields=()), found, 600.0)
    assert f"change about 330{NBSP}l of the water" in told


@pytest.mark.parametrize(
    ("early", "late", "times", "leaves", "acid"),
    [
        (None, None, 0, "the pH stays inside its range for a month.", ""),
        (3.4, 9.0, 4, "the pH leaves its range after 3 to 9 days.", "at most 4 times"),
        (0.7, 1.2, 2, "the pH leaves its range after 1 day.", "at most 2 times"),
        (12.0, None, 1, "its range after 12 days at the earliest.", "at most once"),
    ],
)
def test_the_month_after_a_plan_is_told(
    english: Speech, early: float | None, late: float | None, times: int, leaves: str, acid: str
) -> None:
    test = WaterTest(water_c=5.0, ph=7.4, alkalinity_mg_l=60.0, calcium_mg_l=60.0)
    usual = month_ahead(
        balance(test), ph_low=7.0, ph_aim=7.4, ph_high=7.8, lowest_alkalinity_mg_l=30.0
    )
    outlook = replace(
        usual,
        leaves_range_day_early=early,
        leaves_range_day_late=late,
        corrections_high=times,
    )
    told = water_advice.outlook_text(english, outlook)
    assert leaves in told
    assert acid in told
    assert ("Acid" in told) is bool(acid)


def test_where_a_range_comes_from_is_told_in_the_persons_language(german: Speech) -> None:
    book = parse_ranges(read_text("water/ranges.toml"))
    of_peroxide = book.of(Sanitiser.HYDROGEN_PEROXIDE, Liner.HDPE_PP)[Quantity.PH]
    told = water.range_source(german, of_peroxide, edited=False)
    assert told.startswith("übliche Praxis, keine Quelle (")
