"""Units, strips, ranges, and what the saturation index means."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.water.waters import RESOURCES, SOFT_FILL, a_test
from tubcare.errors import InputError
from tubcare.values import Liner, Sanitiser
from tubcare.water.balance import balance
from tubcare.water.completed import Scaling, scaling_of
from tubcare.water.exposure import LINER_WINDOWS
from tubcare.water.ranges import Basis, Quantity, edited_range, loosened, parse_ranges
from tubcare.water.strips import Band, Source, band_of, strip_test
from tubcare.water.units import Dimension, Unit, from_inside, to_inside, units_of

START = datetime(2026, 5, 1, tzinfo=UTC)


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
    assert found.saturation_low < balance(found.middle).saturation_index < found.saturation_high


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


def test_no_range_reaches_beyond_what_the_liner_stands(ranges_text: str) -> None:
    """Without a sanitiser the fill water is taken as it comes, and the exposure alone tells."""
    book = parse_ranges(ranges_text)
    for sanitiser, liner in itertools.product(Sanitiser, Liner):
        if sanitiser is Sanitiser.FREQUENT_CHANGE:
            continue
        found, window = book.of(sanitiser, liner), LINER_WINDOWS[liner]
        ph, chlorine = found[Quantity.PH], found.get(Quantity.FREE_CHLORINE)
        assert ph.low is not None
        assert ph.high is not None
        assert window.ph_low <= ph.low < ph.high <= window.ph_high, (sanitiser, liner)
        if chlorine is not None and window.free_chlorine_mg_l is not None:
            assert (chlorine.high or 0.0) <= window.free_chlorine_mg_l, (sanitiser, liner)


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


@pytest.mark.parametrize(
    ("ph", "calcium", "meaning"),
    [
        (7.2, 40.0, Scaling.DISSOLVES),
        (8.2, 120.0, Scaling.BALANCED),
        (8.6, 400.0, Scaling.DEPOSITS),
    ],
)
def test_the_saturation_index_is_put_in_words(ph: float, calcium: float, meaning: Scaling) -> None:
    found = balance(a_test(ph=ph, calcium_mg_l=calcium))
    assert scaling_of(found.saturation_index) is meaning
