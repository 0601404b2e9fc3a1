"""Amounts: currencies, minor units, splits, and what "about" means."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.currency import Currency, currency
from tubcare.ledger.money import (
    MAX_MINOR,
    about,
    check_minor,
    divide_half_even,
    split,
    to_decimal,
    to_minor,
)

EUR, JPY = currency("EUR"), currency("JPY")
CURRENCIES = st.sampled_from(["EUR", "JPY", "KWD", "CLF"]).map(currency)
MINORS = st.integers(-MAX_MINOR, MAX_MINOR)


def test_a_code_is_taken_in_any_case_of_letters() -> None:
    assert currency(" nok ").code == "NOK"


@pytest.mark.parametrize("code", ["", "EU", "EURO", "ABC", "€", "978", "XAU"])
def test_an_unknown_currency_is_refused(code: str) -> None:
    with pytest.raises(InputError, match="currency"):
        currency(code)


@pytest.mark.parametrize("amount", ["10000000000.01", "1e999999", "-1e30"])
def test_absurd_amounts_are_refused(amount: str) -> None:
    with pytest.raises(OutOfRangeError):
        to_minor(Decimal(amount), EUR)


@pytest.mark.parametrize("amount", ["NaN", "sNaN", "Infinity", "1e-999999"])
def test_what_is_no_amount_is_refused(amount: str) -> None:
    with pytest.raises(InputError):
        to_minor(Decimal(amount), EUR)


@pytest.mark.parametrize("minor", [-1, MAX_MINOR + 1])
def test_a_minor_amount_outside_its_bounds_is_refused(minor: int) -> None:
    with pytest.raises(OutOfRangeError, match="price_minor"):
        check_minor("price_minor", minor)


@given(MINORS, CURRENCIES)
def test_minor_units_come_back_from_units(minor: int, unit: Currency) -> None:
    assert to_minor(to_decimal(minor, unit), unit) == minor


@given(st.integers(-(10**20), 10**20), st.integers(1, 10**12))
def test_division_rounds_like_a_fraction(numerator: int, denominator: int) -> None:
    assert divide_half_even(numerator, denominator) == round(Fraction(numerator, denominator))


@pytest.mark.parametrize("denominator", [0, -3])
def test_division_by_nothing_or_less_is_refused(denominator: int) -> None:
    with pytest.raises(OutOfRangeError):
        divide_half_even(1, denominator)


@given(MINORS, st.lists(st.integers(0, 10**6), min_size=1, max_size=12).filter(any))
def test_parts_add_up_and_lie_within_one_of_their_share(total: int, weights: list[int]) -> None:
    parts = split(total, weights)
    assert sum(parts) == total
    for part, weight in zip(parts, weights, strict=True):
        assert abs(part - Fraction(total * weight, sum(weights))) < 1


@given(MINORS, st.lists(st.integers(0, 10**6), min_size=1, max_size=12).filter(any))
def test_a_negative_total_mirrors_the_positive_one(total: int, weights: list[int]) -> None:
    assert split(-total, weights) == tuple(-part for part in split(total, weights))


@pytest.mark.parametrize("weights", [(), (0, 0), (1, -1, 3)])
def test_weights_that_split_nothing_are_refused(weights: tuple[int, ...]) -> None:
    with pytest.raises(InputError):
        split(100, weights)


@pytest.mark.parametrize(
    ("minor", "told"),
    [
        (14_016, 14_000),
        (375, 380),
        (21_591, 22_000),
        (84, 84),
        (0, 0),
        (-14_016, -14_000),
        (99_500, 100_000),
        (1_249, 1_200),
    ],
)
def test_about_keeps_two_significant_digits(minor: int, told: int) -> None:
    assert about(minor) == told


@given(MINORS)
def test_about_is_never_more_than_five_percent_off(minor: int) -> None:
    assert abs(about(minor) - minor) * 20 <= abs(minor)
    assert about(about(minor)) == about(minor)
