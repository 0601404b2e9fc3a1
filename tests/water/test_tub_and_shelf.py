"""Liner, metals, change of water, draining, shelf, combined chlorine."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.water.waters import SOFT_FILL, a_test
from tubcare.errors import InputError, OutOfRangeError
from tubcare.values import Liner
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
    combined_chlorine,
)
from tubcare.water.compounds import NEUTRALISERS, Compound, neutralised
from tubcare.water.draining import neutralising
from tubcare.water.exposure import LINER_WINDOWS, ExposurePoint, LinerWindow, exposure_since
from tubcare.water.galvanic import Metal, PairKind, galvanic_pairs
from tubcare.water.products import usual_product
from tubcare.water.shelf import bleach_strength, today_strength

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


def test_chloride_never_measured_is_unknown_not_fine() -> None:
    days = [point(0, 7.4), point(5, 7.5)]
    end = START + timedelta(days=5)
    metal = exposure_since(days, window=WINDOW, since=START, until=end)
    plastic = exposure_since(
        days, window=replace(WINDOW, chloride_mg_l=None), since=START, until=end
    )
    assert metal.chloride is not None
    assert metal.chloride.unknown_days == pytest.approx(5.0)
    assert metal.inspection_share == pytest.approx(0.8)
    assert plastic.inspection_share == 1.0


def test_chloride_holds_over_a_month_and_ph_does_not() -> None:
    found = exposure_since(
        [point(0, 7.4, 100), point(28, 7.4, 120)],
        window=WINDOW,
        since=START,
        until=START + timedelta(days=28),
    )
    assert found.chloride is not None
    assert found.chloride.unknown_days == pytest.approx(0.0)
    assert found.ph.unknown_days == pytest.approx(28.0)


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


def test_peroxide_is_ended_by_sulfite_mole_for_mole() -> None:
    """Stoichiometry: 126.04 g of sodium sulfite to 34.01 g of peroxide, and no acid from it."""
    found = neutralising(Compound.SULFITE, volume_l=1000.0, peroxide_mg_l=50.0)
    assert found.low_g == pytest.approx(50.0 * 126.04 / 34.01, rel=1e-3)
    assert found.alkalinity_used_mg_l == pytest.approx(0.0, abs=1e-9)
    with pytest.raises(InputError, match="sulfite"):
        neutralising(Compound.ASCORBIC_ACID, volume_l=1000.0, peroxide_mg_l=50.0)


@given(
    compound=st.sampled_from(sorted(NEUTRALISERS)),
    chlorine=st.floats(0.1, 20.0),
    volume=st.floats(100.0, 3000.0),
)
def test_the_least_of_an_agent_leaves_no_chlorine(
    compound: Compound, chlorine: float, volume: float
) -> None:
    """Forward with the amount found: nothing left; with a tenth less, a tenth is left."""
    totals = totals_of(a_test(alkalinity_mg_l=150.0, free_chlorine_mg_l=chlorine))
    found = neutralising(compound, volume_l=volume, free_chlorine_mg_l=chlorine)
    mg_l = found.low_g * 1e3 / volume
    ended, partly = (neutralised(totals, compound, share * mg_l) for share in (1.0, 0.9))
    assert ended.chlorine == pytest.approx(0.0, abs=1e-9)
    assert partly.free_chlorine_mg_l == pytest.approx(0.1 * chlorine)
    lost = totals.alkalinity_mg_l - ended.alkalinity_mg_l
    assert lost == pytest.approx(found.alkalinity_used_mg_l)


def test_a_neutraliser_never_takes_more_chlorine_than_there_is() -> None:
    after = neutralised(totals_of(a_test()), Compound.SULFITE, 50.0)
    assert after.chlorine == pytest.approx(0.0, abs=1e-12)


def test_what_is_no_neutraliser_is_refused() -> None:
    with pytest.raises(InputError, match="compound"):
        neutralising(Compound.HYDROGEN_PEROXIDE, volume_l=500.0, free_chlorine_mg_l=1.0)


@pytest.mark.parametrize(
    ("trade", "storage_c", "lost"),
    [
        (12.5, 5, 0.02),
        (12.5, 15, 0.10),
        (12.5, 20, 0.19),
        (12.5, 25, 0.33),
        (12.5, 30, 0.49),
        (6, 5, 0.006),
        (6, 20, 0.06),
        (6, 25, 0.11),
        (6, 30, 0.20),
    ],
)
def test_bleach_loses_strength_in_90_days(trade: float, storage_c: float, lost: float) -> None:
    """Adam & Gordon 1999, Inorg. Chem. 38:1299, worked for 90 days at µ = 2 C + 0.1."""
    found = bleach_strength(trade_percent=trade, days=90.0, storage_c=storage_c)
    assert 1.0 - found.share == pytest.approx(lost, abs=0.01)
    assert found.share_low < found.share < found.share_high


@pytest.mark.parametrize(("storage_c", "half_life"), [(10, 1730), (20, 382), (25, 187), (30, 93)])
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


@pytest.mark.parametrize(
    "compound", [Compound.SODA_ASH, Compound.TRICHLOR, Compound.SODIUM_HYPOCHLORITE]
)
def test_a_pack_of_over_ten_years_is_told_as_one_of_ten(compound: Compound) -> None:
    old, aged = (
        today_strength(
            usual_product(compound), filled=filled, today=date(2026, 1, 1), storage_c=15.0
        )[1]
        for filled in (date(2005, 1, 1), date(2026, 1, 1) - timedelta(days=3650))
    )
    assert old == aged


@pytest.mark.parametrize("strength", [0.3, 24.0])
def test_a_bleach_that_nobody_measured_still_has_a_strength(strength: float) -> None:
    bleach = replace(usual_product(Compound.SODIUM_HYPOCHLORITE), strength=strength)
    today, left = today_strength(
        bleach, filled=date(2026, 1, 1), today=date(2026, 7, 1), storage_c=20.0
    )
    assert 0.0 < today.strength < strength
    assert left.extrapolated


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


def test_out_of_range_storage_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="storage_c"):
        bleach_strength(trade_percent=12.5, days=1.0, storage_c=60.0)
