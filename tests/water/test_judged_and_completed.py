"""Values against their ranges, and a whole test from what was read at different times."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.water.waters import RESOURCES, SOFT_FILL
from tubcare.errors import InputError
from tubcare.values import FilterKind, Liner, Sanitiser, TubProfile
from tubcare.water.completed import completed, index_now
from tubcare.water.galvanic import Metal
from tubcare.water.judged import Judged, Sighting, Standing, Unknown, judge
from tubcare.water.kit import Kit, kit_from_data, kit_to_data, usual_kit
from tubcare.water.ranges import Quantity, Range, edited_range, parse_ranges
from tubcare.water.strips import Band, Source
from tubcare.water.targets import targets_of
from tubcare.water.units import Dimension, Unit

NOW = datetime(2026, 5, 10, 12, tzinfo=UTC)
BOOK = parse_ranges((RESOURCES / "ranges.toml").read_text(encoding="utf-8"))
PH: Range = BOOK.of(Sanitiser.CHLORINE, Liner.HDPE_PP)[Quantity.PH]


def ph(value: float, *, days: float = 0.0, band: Band | None = None) -> Judged:
    seen = Sighting(value=value, at=NOW - timedelta(days=days), band=band)
    return judge(Quantity.PH, seen, PH, now=NOW)


def seen(value: float, *, days: float = 0.0) -> Sighting:
    return Sighting(value=value, at=NOW - timedelta(days=days))


@pytest.mark.parametrize(
    ("value", "standing", "by"),
    [
        (6.6, Standing.BELOW, 0.4),
        (7.0, Standing.INSIDE, 0.0),
        (7.8, Standing.INSIDE, 0.0),
        (8.1, Standing.ABOVE, 0.3),
    ],
)
def test_a_value_stands_inside_below_or_above_by_so_much(
    value: float, standing: Standing, by: float
) -> None:
    found = ph(value)
    assert found.standing is standing
    assert found.by == pytest.approx(by)


@given(low=st.floats(5.0, 9.0), width=st.floats(0.0, 2.0))
def test_a_band_is_inside_only_whole_and_outside_only_whole(low: float, width: float) -> None:
    band = Band(low=low, high=low + width)
    found = ph(band.middle, band=band)
    inside = PH.contains(band.low) and PH.contains(band.high)
    assert (found.standing is Standing.INSIDE) == inside
    if found.standing is Standing.UNKNOWN:
        assert found.unknown is Unknown.BAND_ACROSS


def test_an_old_value_and_a_missing_one_tell_nothing() -> None:
    assert ph(7.4, days=8).unknown is Unknown.TOO_OLD
    assert judge(Quantity.PH, None, PH, now=NOW).unknown is Unknown.NOT_MEASURED


def test_aluminium_has_a_closer_ph_and_a_limit_of_chloride() -> None:
    plastic = BOOK.of(Sanitiser.CHLORINE, Liner.HDPE_PP)
    metal = BOOK.of(Sanitiser.CHLORINE, Liner.ALUMINIUM)
    assert metal[Quantity.PH].high == 7.6
    assert Quantity.CHLORIDE in metal
    assert Quantity.CHLORIDE not in plastic


def test_a_sanitiser_of_the_day_before_yesterday_is_not_taken_for_known() -> None:
    sightings = {"ph": seen(7.4), "free_chlorine_mg_l": seen(2.0, days=2)}
    found = completed(sightings, water_c=5.0, aims={}, fill=SOFT_FILL.test)
    assert found is not None
    assert found.known == {"ph"}
    assert found.middle.free_chlorine_mg_l == 0.0


def test_what_is_missing_comes_from_an_earlier_test_then_from_the_fill_water() -> None:
    sightings = {"ph": seen(7.4), "alkalinity_mg_l": seen(70.0, days=20)}
    found = completed(sightings, water_c=5.0, aims={}, fill=SOFT_FILL.test)
    assert found is not None
    sources = {each.field: each.source for each in found.assumed}
    assert sources["alkalinity_mg_l"] is Source.LAST_TEST
    assert sources["calcium_mg_l"] is Source.FILL_WATER
    assert found.middle.calcium_mg_l == SOFT_FILL.test.calcium_mg_l


def test_a_ph_that_is_over_a_week_older_than_the_rest_gives_no_test() -> None:
    sightings = {"ph": seen(7.4, days=9), "free_chlorine_mg_l": seen(2.0)}
    assert completed(sightings, water_c=5.0, aims={}, fill=None) is None


def test_the_index_reaches_over_the_corners_of_the_bands() -> None:
    band = Sighting(value=7.4, at=NOW, band=Band(low=7.2, high=7.6))
    found = completed({"ph": band}, water_c=5.0, aims={}, fill=SOFT_FILL.test)
    assert found is not None
    index = index_now(found)
    # A unit of pH is a unit of the index, as near as the corners go.
    assert index.high - index.low == pytest.approx(0.4, abs=0.02)


def test_targets_follow_the_ranges_and_an_open_end_leaves_room() -> None:
    limits = dict(BOOK.of(Sanitiser.CHLORINE, Liner.HDPE_PP))
    limits[Quantity.CALCIUM] = edited_range(
        limits[Quantity.CALCIUM], low=20.0, aim=None, high=None
    )
    targets = targets_of(limits, SOFT_FILL.test)
    assert (targets.ph.low, targets.ph.aim, targets.ph.high) == (7.0, 7.4, 7.8)
    assert targets.calcium is not None
    assert targets.calcium.high >= 1000.0
    assert targets.bromine is None


def test_the_usual_kit_asks_for_what_the_tub_is_kept_clean_with() -> None:
    kit = usual_kit(TubProfile(name="A", sanitiser=Sanitiser.BROMINE, filter_kind=FilterKind.SAND))
    assert "bromine_mg_l" in kit.fields
    assert "free_chlorine_mg_l" not in kit.fields
    assert "pressure_bar" in kit.fields


def test_a_kit_comes_back_from_the_store_as_it_was() -> None:
    kit = Kit(
        fields=("ph", "hardness_mg_l"),
        units={Dimension.HARDNESS: Unit.FRENCH_DEGREE},
        strips={"ph": (6.8, 7.2)},
        metals=frozenset({Metal.COPPER}),
    )
    assert kit_from_data(kit_to_data(kit)) == kit
    assert kit.inside("hardness_mg_l", 4.0) == pytest.approx(40.0)
    assert kit.shown("hardness_mg_l", 40.0) == pytest.approx(4.0)


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"fields": ["nonsense"], "units": {}, "strips": {}},
        {"fields": [], "units": {"hardness": "°C"}, "strips": {}},
        {"fields": [], "units": {}, "strips": {"ph": [7.2, 6.8]}},
    ],
)
def test_a_kit_that_cannot_be_is_refused(data: dict[str, object]) -> None:
    with pytest.raises(InputError):
        kit_from_data(data)
