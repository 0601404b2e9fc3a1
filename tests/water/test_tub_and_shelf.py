"""Liner, metals, change of water, draining, shelf, combined chlorine, units, strips, ranges."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.water.waters import RESOURCES, SOFT_FILL, a_test
from tubcare.errors import InputError, OutOfRangeError
from tubcare.values import Liner, Sanitiser
from tubcare.water.assess import Scaling, Verdict, assess, doubts, scaling, water_state
from tubcare.water.balance import totals_of
from tubcare.water.change import (
    ChangeLimits,
    ChangeReason,
    WaterHistory,
    fraction_to_reach,
    weigh_change,
)
from tubcare.water.combined import (
    CombinedCall,
    bather_demand_mg_l,
    combined_chlorine,
    days_between_changes,
)
from tubcare.water.compounds import Compound, neutralised
from tubcare.water.draining import neutralising
from tubcare.water.exposure import LINER_WINDOWS, ExposurePoint, LinerWindow, exposure_since
from tubcare.water.galvanic import Metal, PairKind, galvanic_pairs
from tubcare.water.products import usual_product
from tubcare.water.ranges import Basis, Quantity, edited_range, loosened, parse_ranges
from tubcare.water.shelf import bleach_strength, today_strength
from tubcare.water.strips import Band, Source, band_of, strip_test
from tubcare.water.units import Dimension, Unit, from_inside, to_inside, units_of

START = datetime(2026, 5, 1, tzinfo=UTC)
WINDOW = LinerWindow(
    ph_low=6.5, ph_high=8.0, chloride_mg_l=150.0, free_chlorine_mg_l=3.0, source="test"
)


def point(day: float, ph: float, chloride: float | None = None) -> ExposurePoint:
    return ExposurePoint(at=START + timedelta(days=day), ph=ph, chloride_mg_l=chloride)


def test_exposure_is_the_area_outside_the_window() -> None:
    """By hand: pH 7.6 -> 8.4 over 4 days crosses 8.0 half-way: 2 days, triangle 0.4 x 2 / 2."""
    found = exposure_since(
        [point(0, 7.6), point(4, 8.4)], window=WINDOW, since=START, until=START + timedelta(days=4)
    )
    assert found.ph.days_above == pytest.approx(2.0)
    assert found.ph.above == pytest.approx(0.4)
    assert found.ph.unknown_days == pytest.approx(0.0)


def test_a_dip_below_and_a_rise_above_are_both_counted() -> None:
    """By hand: 6.0 -> 8.5 over 5 days is half a unit a day: 1 day below, 1 day above."""
    found = exposure_since(
        [point(0, 6.0), point(5, 8.5)], window=WINDOW, since=START, until=START + timedelta(days=5)
    )
    assert found.ph.days_below == pytest.approx(1.0)
    assert found.ph.below == pytest.approx(0.25)
    assert found.ph.days_above == pytest.approx(1.0)
    assert found.ph.above == pytest.approx(0.25)


def test_a_gap_is_unknown_and_brings_the_inspection_forward() -> None:
    found = exposure_since(
        [point(0, 7.4), point(20, 7.4)],
        window=WINDOW,
        since=START,
        until=START + timedelta(days=20),
    )
    assert found.ph.unknown_days == pytest.approx(20.0)
    assert found.inspection_share < 1.0


def test_time_before_the_first_and_after_the_last_reading_is_unknown() -> None:
    found = exposure_since(
        [point(2, 7.4), point(4, 7.4)],
        window=WINDOW,
        since=START,
        until=START + timedelta(days=10),
    )
    assert found.ph.known_days == pytest.approx(2.0)
    assert found.ph.unknown_days == pytest.approx(8.0)


def test_water_always_inside_leaves_the_inspection_where_it_is() -> None:
    found = exposure_since(
        [point(0, 7.4, 80), point(5, 7.5, 90)],
        window=WINDOW,
        since=START,
        until=START + timedelta(days=5),
    )
    assert found.inspection_share == 1.0


def test_chloride_over_its_limit_is_counted() -> None:
    found = exposure_since(
        [point(0, 7.4, 200), point(5, 7.4, 200)],
        window=WINDOW,
        since=START,
        until=START + timedelta(days=5),
    )
    assert found.chloride is not None
    assert found.chloride.above == pytest.approx(250.0)
    assert found.inspection_share < 1.0


@given(cut=st.floats(0.1, 3.9))
def test_exposure_adds_up_over_parts_of_the_time(cut: float) -> None:
    points = [point(0, 7.0), point(4, 9.0)]
    middle, end = START + timedelta(days=cut), START + timedelta(days=4)
    whole = exposure_since(points, window=WINDOW, since=START, until=end).ph.above
    first = exposure_since(points, window=WINDOW, since=START, until=middle).ph.above
    second = exposure_since(points, window=WINDOW, since=middle, until=end).ph.above
    assert first + second == pytest.approx(whole, abs=1e-6)


def test_an_inspection_after_the_end_is_refused() -> None:
    with pytest.raises(InputError):
        exposure_since([], window=WINDOW, since=START, until=START - timedelta(days=1))


@pytest.mark.parametrize("liner", list(Liner))
def test_every_liner_has_a_window_with_its_source(liner: Liner) -> None:
    assert LINER_WINDOWS[liner].source


def test_copper_against_aluminium_is_the_first_pair_warned_of() -> None:
    """SUEZ Water Handbook, Aluminium: 20 µg/L of copper are enough to pit aluminium."""
    found = galvanic_pairs([Metal.STAINLESS_316, Metal.COPPER, Metal.ALUMINIUM])
    assert found[0].attacked is Metal.ALUMINIUM
    assert found[0].kind is PairKind.PLATED_COPPER


def test_close_metals_are_not_warned_of() -> None:
    assert galvanic_pairs([Metal.COPPER, Metal.BRASS, Metal.STAINLESS_304]) == ()


@given(value=st.floats(60.0, 400.0), limit=st.floats(20.0, 50.0), fill=st.floats(0.0, 19.0))
def test_replacing_the_share_reaches_the_limit(value: float, limit: float, fill: float) -> None:
    share = fraction_to_reach(value, limit, fill)
    assert share is not None
    assert (1 - share) * value + share * fill == pytest.approx(limit)


def test_bathers_make_a_change_due() -> None:
    """WHO 2006 vol. 2, 5.4 and DIN 19643-1: 30 L of fresh water per bather."""
    history = WaterHistory(volume_l=500.0, bathers=20, refilled_l=0.0, age_days=10.0)
    found = weigh_change(history, test=a_test(), fill=SOFT_FILL.test, limits=ChangeLimits())
    assert found.due
    assert found.weights[0].reason is ChangeReason.BATHERS
    assert found.weights[0].share == pytest.approx(1.2)


def test_young_water_with_few_bathers_is_not_due() -> None:
    history = WaterHistory(volume_l=500.0, bathers=5, refilled_l=0.0, age_days=10.0)
    found = weigh_change(history, test=a_test(), fill=SOFT_FILL.test, limits=ChangeLimits())
    assert not found.due
    assert found.litres == 0.0


def test_salt_and_cyanurate_are_weighed() -> None:
    test = a_test(cyanuric_acid_mg_l=60.0, tds_mg_l=1500.0, chloride_mg_l=300.0)
    history = WaterHistory(volume_l=500.0, bathers=0, refilled_l=0.0, age_days=1.0)
    limits = ChangeLimits(chloride_mg_l=150.0)
    found = weigh_change(history, test=test, fill=SOFT_FILL.test, limits=limits)
    due = {weight.reason for weight in found.weights if weight.share >= 1.0}
    assert due == {
        ChangeReason.CYANURIC_ACID,
        ChangeReason.DISSOLVED_SOLIDS,
        ChangeReason.CHLORIDE,
    }
    assert 0.0 < found.litres <= 500.0


def test_ascorbic_acid_before_draining() -> None:
    """USDA Forest Service 0523-1301: 2.5 parts ascorbic acid to 1 of chlorine (from memory)."""
    found = neutralising(Compound.ASCORBIC_ACID, volume_l=1000.0, free_chlorine_mg_l=1.0)
    assert found.low_g == pytest.approx(2.5, abs=0.02)
    assert found.first_g == pytest.approx(1.1 * found.low_g)
    assert not found.stepwise


def test_sodium_ascorbate_and_sulfite_before_draining() -> None:
    """Stoichiometry: 2.79 and 1.78 mg per mg of chlorine."""
    ascorbate = neutralising(Compound.SODIUM_ASCORBATE, volume_l=1000.0, free_chlorine_mg_l=1.0)
    sulfite = neutralising(Compound.SULFITE, volume_l=1000.0, free_chlorine_mg_l=1.0)
    assert ascorbate.low_g == pytest.approx(2.79, abs=0.01)
    assert sulfite.low_g == pytest.approx(1.78, abs=0.01)


def test_thiosulfate_goes_in_by_steps() -> None:
    """0.875 by the sulfate route; AWWA C655 lists about 2 (from memory)."""
    found = neutralising(
        Compound.THIOSULFATE_PENTAHYDRATE, volume_l=1000.0, free_chlorine_mg_l=1.0
    )
    assert found.stepwise
    assert found.low_g == pytest.approx(0.875, abs=0.001)
    assert found.low_g < found.first_g < 2.0 < found.high_g
    assert found.alkalinity_used_mg_l == pytest.approx(1.06, abs=0.01)


def test_bromine_is_neutralised_as_its_chlorine() -> None:
    """1 mg/L of chlorine is 2.254 mg/L of bromine (molar masses)."""
    chlorine = neutralising(Compound.SULFITE, volume_l=500.0, free_chlorine_mg_l=1.0)
    bromine = neutralising(Compound.SULFITE, volume_l=500.0, bromine_mg_l=2.254)
    assert bromine.low_g == pytest.approx(chlorine.low_g, rel=1e-3)


def test_a_neutraliser_never_takes_more_chlorine_than_there_is() -> None:
    after = neutralised(totals_of(a_test()), Compound.SULFITE, 50.0)
    assert after.chlorine == pytest.approx(0.0, abs=1e-12)


def test_what_is_no_neutraliser_is_refused() -> None:
    with pytest.raises(InputError, match="compound"):
        neutralising(Compound.HYDROGEN_PEROXIDE, volume_l=500.0, free_chlorine_mg_l=1.0)


@pytest.mark.parametrize(
    ("trade", "storage_c", "lost"),
    [(12.5, 15, 0.10), (12.5, 20, 0.19), (12.5, 25, 0.33), (12.5, 30, 0.49), (6, 25, 0.11)],
)
def test_bleach_loses_strength_in_90_days(trade: float, storage_c: float, lost: float) -> None:
    """Adam & Gordon 1999, Inorg. Chem. 38:1299, worked for 90 days at µ = 2 C + 0.1."""
    found = bleach_strength(trade_percent=trade, days=90.0, storage_c=storage_c)
    assert 1.0 - found.share == pytest.approx(lost, abs=0.01)
    assert found.share_low < found.share < found.share_high


@pytest.mark.parametrize(("storage_c", "half_life"), [(20, 382), (25, 187), (30, 93)])
def test_bleach_is_halved_at_its_half_life(storage_c: float, half_life: float) -> None:
    """Adam & Gordon 1999: half-life of 12.5 % trade."""
    found = bleach_strength(trade_percent=12.5, days=half_life, storage_c=storage_c)
    assert found.share == pytest.approx(0.5, abs=0.01)


def test_old_bleach_needs_more_of_it() -> None:
    bleach = usual_product(Compound.SODIUM_HYPOCHLORITE)
    today, left = today_strength(
        bleach, filled=date(2026, 1, 1), today=date(2026, 7, 1), storage_c=20.0
    )
    assert today.strength < bleach.strength
    assert today.amount(0.03, 500.0) == pytest.approx(bleach.amount(0.03, 500.0) / left.share)


def test_cold_bleach_is_flagged_as_extrapolated() -> None:
    assert bleach_strength(trade_percent=12.5, days=90.0, storage_c=5.0).extrapolated
    assert not bleach_strength(trade_percent=12.5, days=90.0, storage_c=20.0).extrapolated


def test_bleach_filled_tomorrow_is_refused() -> None:
    with pytest.raises(InputError, match="filled"):
        today_strength(
            usual_product(Compound.SODIUM_HYPOCHLORITE),
            filled=date(2026, 7, 2),
            today=date(2026, 7, 1),
            storage_c=20.0,
        )


@pytest.mark.parametrize(
    ("free", "total", "call"),
    [
        (2.0, 2.2, CombinedCall.NOTHING),
        (2.0, 1.7, CombinedCall.RETEST),
        (2.0, 2.8, CombinedCall.BREAKPOINT),
        (2.0, 4.0, CombinedCall.FRESH_WATER),
    ],
)
def test_what_combined_chlorine_calls_for(free: float, total: float, call: CombinedCall) -> None:
    found = combined_chlorine(
        free_mg_l=free, total_mg_l=total, limit_mg_l=0.5, highest_free_mg_l=10.0
    )
    assert found.call is call


def test_a_bather_in_a_small_tub() -> None:
    """J. Water Health 17:227 (2019): 4.12 g per bather; in 500 L 8 mg/L."""
    assert bather_demand_mg_l(dips=1, volume_l=500.0) == pytest.approx(8.24)


def test_days_between_changes_by_the_spa_rule() -> None:
    """Montana 37.115: 500 L and one bather a day, 44 days."""
    assert days_between_changes(volume_l=500.0, bathers_per_day=1.0) == pytest.approx(44, abs=0.1)


@pytest.mark.parametrize(
    ("unit", "published"),
    [
        (Unit.GERMAN_DEGREE, 17.85),
        (Unit.FRENCH_DEGREE, 10.0),
        (Unit.ENGLISH_DEGREE, 14.25),
        (Unit.GRAINS_PER_GALLON, 17.12),
        (Unit.PPM, 1.0),
    ],
)
def test_degrees_of_hardness(unit: Unit, published: float) -> None:
    """Handbook conversions to mg/L as CaCO3."""
    assert to_inside(1.0, unit, Dimension.HARDNESS) == pytest.approx(published, abs=0.01)


def test_a_millimole_of_acid_capacity_is_not_one_of_hardness() -> None:
    """DIN 38409-7: acid capacity 1 mmol/L is 50.04 mg/L as CaCO3; 1 mmol/L calcium is 100.09."""
    alkalinity = to_inside(1.0, Unit.MMOL_L, Dimension.ALKALINITY)
    hardness = to_inside(1.0, Unit.MMOL_L, Dimension.HARDNESS)
    assert alkalinity == pytest.approx(50.04, abs=0.01)
    assert hardness == pytest.approx(100.09, abs=0.01)


@given(value=st.floats(-50.0, 500.0), dimension=st.sampled_from(list(Dimension)))
def test_units_go_there_and_back(value: float, dimension: Dimension) -> None:
    for unit in units_of(dimension):
        there = to_inside(value, unit, dimension)
        assert from_inside(there, unit, dimension) == pytest.approx(value, abs=1e-9)


def test_a_unit_that_does_not_measure_is_refused() -> None:
    with pytest.raises(InputError, match="unit"):
        to_inside(1.0, Unit.CELSIUS, Dimension.HARDNESS)


def test_a_colour_stands_for_the_band_to_its_neighbours() -> None:
    assert band_of([6.8, 7.2, 7.8, 8.4], 1) == Band(low=7.0, high=7.5)


def test_three_pads_are_enough_and_the_rest_is_said() -> None:
    found = strip_test(
        {
            "ph": Band(low=7.0, high=7.5),
            "alkalinity_mg_l": Band(low=60.0, high=100.0),
            "free_chlorine_mg_l": Band(low=0.5, high=1.5),
        },
        water_c=5.0,
        aims={"ph": 7.4, "alkalinity_mg_l": 40.0, "free_chlorine_mg_l": 2.0},
        fill=SOFT_FILL.test,
    )
    sources = {item.field: item.source for item in found.assumed}
    assert sources["calcium_mg_l"] is Source.FILL_WATER
    assert found.middle.ph == pytest.approx(7.25)
    assert found.mildest.ph == 7.4
    assert found.mildest.alkalinity_mg_l == 60.0
    assert found.mildest.free_chlorine_mg_l == 1.5
    assert found.saturation_low < scaling(found.middle)[0] < found.saturation_high


def test_without_anything_known_calcium_is_assumed_typical() -> None:
    bands = {"ph": Band(low=7.0, high=7.5), "alkalinity_mg_l": Band(low=60.0, high=100.0)}
    found = strip_test(bands, water_c=5.0, aims={})
    assert next(item.source for item in found.assumed) is Source.TYPICAL


def test_a_strip_without_alkalinity_cannot_be_balanced() -> None:
    with pytest.raises(InputError, match="alkalinity_mg_l"):
        strip_test({"ph": Band(low=7.0, high=7.5)}, water_c=5.0, aims={})


@pytest.fixture(scope="module")
def ranges_text() -> str:
    return (RESOURCES / "ranges.toml").read_text("utf-8")


def test_every_range_names_its_document_and_section(ranges_text: str) -> None:
    book = parse_ranges(ranges_text)
    found = [*book.published, *(r for rows in book.defaults.values() for r in rows.values())]
    assert all(item.document and item.section for item in found)


@pytest.mark.parametrize("sanitiser", list(Sanitiser))
def test_every_sanitiser_has_a_range_of_ph_and_alkalinity(
    ranges_text: str, sanitiser: Sanitiser
) -> None:
    rows = parse_ranges(ranges_text).defaults[sanitiser]
    assert {Quantity.PH, Quantity.ALKALINITY, Quantity.CALCIUM} <= set(rows)


def test_a_loosened_range_is_warned_of_and_a_tightened_one_is_not(ranges_text: str) -> None:
    ph = parse_ranges(ranges_text).defaults[Sanitiser.CHLORINE][Quantity.PH]
    wider = edited_range(ph, low=6.5, aim=7.4, high=8.4)
    tighter = edited_range(ph, low=7.2, aim=7.4, high=7.6)
    assert [item.end for item in loosened(ph, wider)] == ["low", "high"]
    assert loosened(ph, tighter) == ()


def test_a_range_out_of_order_is_refused(ranges_text: str) -> None:
    ph = parse_ranges(ranges_text).defaults[Sanitiser.CHLORINE][Quantity.PH]
    with pytest.raises(InputError, match="ph"):
        replace(ph, low=8.0, high=7.0)


@pytest.mark.parametrize("text", ["= nonsense", '[[tub]]\nquantity = "ph"\n'])
def test_ranges_that_cannot_be_read_are_refused(text: str) -> None:
    with pytest.raises(InputError, match="ranges"):
        parse_ranges(text)


def test_the_basis_of_a_range_is_told(ranges_text: str) -> None:
    assert {item.basis for item in parse_ranges(ranges_text).published} > {Basis.SEEN}


def test_a_reading_is_told_quantity_by_quantity_those_outside_first(ranges_text: str) -> None:
    ranges = parse_ranges(ranges_text).defaults[Sanitiser.CHLORINE]
    found = assess(a_test(ph=8.2, free_chlorine_mg_l=0.4), ranges)
    outside = {item.quantity: item.verdict for item in found[:2]}
    assert outside == {Quantity.PH: Verdict.ABOVE, Quantity.FREE_CHLORINE: Verdict.BELOW}
    assert all(item.verdict is Verdict.INSIDE for item in found[2:])


def test_the_state_tells_age_and_wait_and_nothing_about_people(ranges_text: str) -> None:
    ranges = parse_ranges(ranges_text).defaults[Sanitiser.CHLORINE]
    now = START + timedelta(hours=5)
    wait = now + timedelta(minutes=20)
    found = water_state(a_test(), ranges, tested_at=START, now=now, wait_until=wait)
    assert found.inside
    assert found.age == timedelta(hours=5)
    assert found.waiting == timedelta(minutes=20)


@pytest.mark.parametrize(
    ("ph", "calcium", "meaning"),
    [
        (7.2, 40.0, Scaling.DISSOLVES),
        (8.2, 120.0, Scaling.BALANCED),
        (8.6, 400.0, Scaling.DEPOSITS),
    ],
)
def test_the_saturation_index_is_put_in_words(ph: float, calcium: float, meaning: Scaling) -> None:
    assert scaling(a_test(ph=ph, calcium_mg_l=calcium))[1] is meaning


def test_unlikely_values_are_queried_not_changed() -> None:
    fields = [item.field for item in doubts(a_test(ph=9.5), [a_test()])]
    assert fields == ["ph", "ph"]
    assert doubts(a_test(), [a_test()]) == ()


def test_total_below_free_is_queried() -> None:
    found = doubts(replace(a_test(), total_chlorine_mg_l=1.0))
    assert [item.field for item in found] == ["total_chlorine_mg_l"]


def test_out_of_range_storage_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="storage_c"):
        bleach_strength(trade_percent=12.5, days=1.0, storage_c=60.0)
