"""Money: shown by ISO 4217's digits, read back to the same minor units."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.words.test_numbers import SPEECHES
from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.currency import currency_codes
from tubcare.words.locale import Speech, speech_for
from tubcare.words.money import (
    about_money,
    amount,
    amount_to_edit,
    money,
    parse_money,
    parse_payment,
)


@given(
    st.sampled_from(SPEECHES),
    st.sampled_from(["EUR", "USD", "NOK", "DKK", "JPY", "KWD", "IQD", "CLF", "CHF", "INR", "PLN"]),
    st.integers(-(10**11), 10**11),
)
def test_every_shown_amount_reads_back_to_the_minor_unit(
    speech: Speech, code: str, minor: int
) -> None:
    own = speech.with_currency(code)
    assert parse_money(own, "amount", money(own, minor)) == minor
    assert parse_money(own, "amount", amount(own, minor)) == minor
    assert parse_money(own, "amount", amount_to_edit(own, minor)) == minor


@pytest.mark.parametrize("code", currency_codes())
def test_every_currency_can_be_shown_and_read(english: Speech, code: str) -> None:
    own = english.with_currency(code)
    assert parse_money(own, "amount", money(own, -123_456)) == -123_456


# ISO 4217 list one: IQD has exponent 3, JPY 0, CLF 4; price tags in IQD show no digits.
@pytest.mark.parametrize(
    ("code", "shown"), [("IQD", "1.500"), ("JPY", "1,500"), ("CLF", "0.1500"), ("EUR", "15.00")]
)
def test_digits_are_those_of_the_standard(english: Speech, code: str, shown: str) -> None:
    assert amount(english.with_currency(code), 1500) == shown


# Common practice, no source: 140.16 is told as "about 140", 3.75 as "about 3.80".
@pytest.mark.parametrize(
    ("minor", "told"),
    [(14016, "about €140"), (375, "about €3.80"), (21591, "about €220"), (7, "about €0.07")],
)
def test_about_tells_two_digits_that_count(english: Speech, minor: int, told: str) -> None:
    assert about_money(english, minor) == told


def test_money_has_its_sign_where_the_locale_puts_it(english: Speech, german: Speech) -> None:
    assert money(english, 14016) == "€140.16"
    assert money(german, 14016) == "140,16\N{NO-BREAK SPACE}€"
    assert about_money(english, 14016) == "about €140"


def test_another_currency_is_refused_by_name(english: Speech) -> None:
    with pytest.raises(InputError, match="EUR"):
        parse_money(english, "amount", "$5.00")
    with pytest.raises(InputError, match="EUR"):
        parse_money(english, "amount", "5 NOK")


def test_more_digits_than_the_minor_unit_are_refused(english: Speech) -> None:
    with pytest.raises(InputError, match="2 digits"):
        parse_money(english, "amount", "5.005")


def test_a_payment_has_no_minus(english: Speech) -> None:
    assert parse_payment(english, "amount", "€5") == 500
    with pytest.raises(InputError, match="refund"):
        parse_payment(english, "amount", "-5")


def test_an_absurd_amount_is_out_of_range(english: Speech) -> None:
    with pytest.raises(OutOfRangeError):
        parse_money(english, "amount", "99999999999999")


def test_without_a_logbook_amounts_have_no_sign() -> None:
    nobody = speech_for({}, chosen="en_GB")
    assert money(nobody, 14016) == "140.16"
    assert parse_money(nobody, "amount", "140.16") == 14016
