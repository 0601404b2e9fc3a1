"""The language of conditions over readings."""

from __future__ import annotations

import pytest

from tubcare.care.model import Comparison, Condition, Range, parse_condition
from tubcare.errors import InputError

PH = Range(low=7.2, high=7.6)


@pytest.mark.parametrize(
    ("text", "value", "holds"),
    [
        ("ph outside range", 7.1, True),
        ("ph outside range", 7.2, False),
        ("ph outside range", 7.6, False),
        ("ph outside range", 7.7, True),
        ("ph < range", 7.1, True),
        ("ph < range", 7.9, False),
        ("ph <= range", 7.2, True),
        ("ph > range", 7.9, True),
        ("ph > range", 7.1, False),
        ("ph >= range", 7.6, True),
        ("ph < 8", 7.9, True),
        ("ph < 8", 8.0, False),
        ("ph <= 8", 8.0, True),
        ("ph > 8", 8.0, False),
        ("ph >= 8", 8.0, True),
    ],
)
def test_a_reading_asks_for_work_when_the_condition_holds(
    text: str, value: float, holds: bool
) -> None:
    assert parse_condition(text).holds(value, PH) is holds


def test_a_range_that_nobody_set_asks_for_nothing() -> None:
    assert not parse_condition("ph outside range").holds(14.0, None)


def test_an_open_end_of_a_range_is_never_passed() -> None:
    low_only = Range(low=1.0, high=None)
    assert not parse_condition("free_chlorine_mg_l outside range").holds(99.0, low_only)
    assert parse_condition("free_chlorine_mg_l outside range").holds(0.5, low_only)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "condition"),
        ("ph", "condition"),
        ("ph < 7 8", "condition"),
        ("pH < 7", "quantity"),
        ("7 < 7", "quantity"),
        ("ph == 7", "comparison"),
        ("ph inside range", "comparison"),
        ("ph < low", "limit"),
        ("ph < nan", "limit"),
        ("ph < inf", "limit"),
        ("ph outside 7", "limit"),
    ],
)
def test_a_condition_that_cannot_be_read_names_its_part(text: str, part: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_condition(text)

    assert caught.value.field == part


@pytest.mark.parametrize("text", ["ph outside range", "flow_l_min < 8", "temperature_c >= 4.5"])
def test_a_condition_is_written_as_it_was_read(text: str) -> None:
    assert str(parse_condition(text)) == text


def test_a_range_upside_down_is_refused() -> None:
    with pytest.raises(InputError):
        Range(low=8.0, high=7.0)


def test_a_condition_can_be_built_without_text() -> None:
    built = Condition(quantity="flow_l_min", comparison=Comparison.LESS, limit=8.0)
    assert parse_condition("flow_l_min < 8") == built
