"""Price, quantity and joint effect."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.errors import OutOfRangeError
from tubcare.ledger.effects import Effects, ItemCost, effects

COSTS = st.lists(
    st.builds(
        ItemCost,
        key=st.sampled_from(["filter", "granules", "power", "water"]),
        minor=st.integers(-(10**6), 10**8),
        unit=st.sampled_from(["piece", "kg"]),
        quantity_milli=st.none() | st.integers(0, 10**7),
    ),
    max_size=8,
)


def power(kwh: int, minor: int) -> ItemCost:
    return ItemCost(key="power", unit="kWh", quantity_milli=kwh * 1000, minor=minor)


def test_a_rise_splits_into_price_quantity_and_both() -> None:
    table = effects([power(400, 12_000)], [power(500, 20_000)])
    assert table.total == Effects(price_minor=4000, quantity_minor=3000, joint_minor=1000)


def test_a_new_price_alone_is_price_effect_alone() -> None:
    table = effects([power(400, 12_000)], [power(400, 16_000)])
    assert table.total == Effects(price_minor=4000)


def test_more_at_the_same_price_is_quantity_effect_alone() -> None:
    table = effects([power(400, 12_000)], [power(600, 18_000)])
    assert table.total == Effects(quantity_minor=6000)


def test_what_is_new_gone_uncounted_or_in_another_unit_is_other() -> None:
    before = [
        ItemCost(key="gone", minor=500, unit="piece", quantity_milli=1000),
        ItemCost(key="repair", minor=100),
        ItemCost(key="granules", minor=900, unit="kg", quantity_milli=5000),
    ]
    after = [
        ItemCost(key="new", minor=700, unit="piece", quantity_milli=1000),
        ItemCost(key="repair", minor=400),
        ItemCost(key="granules", minor=1000, unit="l", quantity_milli=5000),
    ]
    table = effects(before, after)
    assert table.total == Effects(other_minor=-500 + 700 + 300 + 100)
    assert [item.key for item in table.items] == ["new", "gone", "repair", "granules"]


def test_two_costs_of_one_supply_count_as_one() -> None:
    table = effects([power(100, 3000), power(300, 9000)], [power(500, 20_000)])
    assert table.total == Effects(price_minor=4000, quantity_minor=3000, joint_minor=1000)


def test_a_negative_quantity_is_refused() -> None:
    with pytest.raises(OutOfRangeError):
        ItemCost(key="power", minor=1, quantity_milli=-1)


@given(COSTS, COSTS)
def test_the_parts_sum_to_the_change(before: list[ItemCost], after: list[ItemCost]) -> None:
    change = sum(cost.minor for cost in after) - sum(cost.minor for cost in before)
    table = effects(before, after)
    assert table.total.change_minor == change
    assert sum(item.change_minor for item in table.items) == change


@given(*[st.integers(1, 10**6)] * 4)
def test_each_part_is_within_rounding_of_its_formula(q0: int, m0: int, q1: int, m1: int) -> None:
    p0, p1 = Fraction(m0, q0), Fraction(m1, q1)
    total = effects(
        [ItemCost(key="x", minor=m0, quantity_milli=q0)],
        [ItemCost(key="x", minor=m1, quantity_milli=q1)],
    ).total
    assert abs(total.price_minor - (p1 - p0) * q0) <= Fraction(1, 2)
    assert abs(total.quantity_minor - (q1 - q0) * p0) <= Fraction(1, 2)
    assert abs(total.joint_minor - (p1 - p0) * (q1 - q0)) <= 1
