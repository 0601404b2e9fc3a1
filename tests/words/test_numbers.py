"""Numbers and quantities: what is shown can be typed, and nothing is guessed."""

from __future__ import annotations

from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.errors import InputError
from tubcare.words.locale import Speech, Units, speech_for
from tubcare.words.numbers import number, parse_number, parse_whole, percent, plain_number
from tubcare.words.quantities import Unit, parse_quantity, quantity, quantity_figure, unit_symbol

TAGS = (
    "en_US",
    "en_GB",
    "de_DE",
    "de_CH",
    "de_AT",
    "fi_FI",
    "sv_SE",
    "fr_FR",
    "nl_NL",
    "pl_PL",
    "pt_BR",
    "hi_IN",
    "ar_EG",
    "fa_IR",
    "ja_JP",
    "et_EE",
    "lt_LT",
)
SPEECHES = [speech_for({}, chosen=tag, currency_code="EUR") for tag in TAGS]
speeches = st.sampled_from(SPEECHES)
values = st.decimals(min_value=-(10**12), max_value=10**12, places=4)


def refusal(speech: Speech, text: str) -> str:
    with pytest.raises(InputError) as caught:
        parse_number(speech, "price", text)
    assert caught.value.field == "price"
    return caught.value.reason


@given(speeches, values)
def test_every_shown_number_reads_back_the_same(speech: Speech, value: Decimal) -> None:
    assert parse_number(speech, "n", number(speech, value)) == value
    assert parse_number(speech, "n", plain_number(speech, value)) == value


@given(speeches, st.text(max_size=12))
def test_any_text_is_a_finite_number_or_an_input_error(speech: Speech, text: str) -> None:
    with suppress(InputError):
        assert parse_number(speech, "n", text).is_finite()


@given(speeches, st.text(alphabet="0123456789.,' -\u2212\u2019\u00a0", max_size=10))
def test_what_is_understood_reads_back_as_itself(speech: Speech, text: str) -> None:
    try:
        value = parse_number(speech, "n", text)
    except InputError:
        return
    assert parse_number(speech, "n", number(speech, value)) == value
    typed = "".join(char for char in text if char.isdigit())
    assert str(abs(value)).replace(".", "").strip("0") == typed.strip("0")


@pytest.mark.parametrize(
    ("tag", "text"),
    [
        ("de_DE", "12.34"),
        ("de_DE", "1.5"),
        ("en_US", "1,5"),
        ("fi_FI", "1.234"),
        ("nl_NL", "7.40"),
    ],
)
def test_a_sign_with_two_meanings_is_refused(tag: str, text: str) -> None:
    assert "two ways" in refusal(speech_for({}, chosen=tag), text).replace(
        "zwei Arten", "two ways"
    ).replace("kahdella tavalla", "two ways")


def test_the_refusal_shows_both_meanings() -> None:
    dutch = speech_for({}, chosen="nl_NL")
    assert "12,34" in refusal(dutch, "12.34")
    assert "1234" in refusal(dutch, "12.34")


@pytest.mark.parametrize(
    "text",
    ["", " ", "1e3", "nan", "inf", "(5.00)", "--5", "5-", "1.2.3", "1,23,456", "0,123", "5a"],
)
def test_what_is_no_plain_number_is_refused(english: Speech, text: str) -> None:
    assert refusal(english, text)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1,234.5", "1234.5"),
        ("1 234.5", "1234.5"),
        ("1\N{NARROW NO-BREAK SPACE}234.5", "1234.5"),
        ("1'234.5", "1234.5"),
        ("1\u2019234.5", "1234.5"),
        ("\N{MINUS SIGN}5", "-5"),
        ("- 5", "-5"),
        (".5", "0.5"),
        ("٣٤", "34"),
    ],
)
def test_spaces_apostrophes_minuses_and_digits_of_any_kind_are_read(
    english: Speech, text: str, value: str
) -> None:
    assert parse_number(english, "n", text) == Decimal(value)


def test_a_sign_that_the_locale_never_uses_is_a_decimal_sign_unless_three_digits_follow() -> None:
    finnish = speech_for({}, chosen="fi_FI")
    assert parse_number(finnish, "ph", "7.4") == Decimal("7.4")


def test_digits_beyond_the_limit_are_refused(english: Speech) -> None:
    with pytest.raises(InputError, match="2 digits"):
        parse_number(english, "n", "1.234", max_decimals=2)
    with pytest.raises(InputError, match="whole"):
        parse_whole(english, "n", "1.5")


def test_a_number_longer_than_anybody_means_is_refused(english: Speech) -> None:
    assert refusal(english, "9" * 21)


def test_numbers_are_rounded_only_when_asked(english: Speech) -> None:
    assert number(english, 0.1) == "0.1"
    assert number(english, 1234.5, 0) == "1,234"
    assert number(english, 2, 2) == "2.00"
    assert percent(english, 0.253) == "25%"


# NIST SP 811 (2008), appendix B.8: gallon 3.785 412 E-03 m3, fluid ounce 2.957 353 E-05 m3,
# ounce 2.834 952 E-02 kg, pound 4.535 924 E-01 kg, foot 3.048 E-01 m, inch 2.54 E-02 m,
# psi 6.894 757 E+03 Pa; degrees Fahrenheit by t_C = (t_F - 32) / 1.8.
@pytest.mark.parametrize(
    ("unit", "shown", "kept"),
    [
        (Unit.LITRE, "1", 3.785412),
        (Unit.MILLILITRE, "1", 29.57353),
        (Unit.GRAM, "1", 28.34952),
        (Unit.KILOGRAM, "1", 0.4535924),
        (Unit.METRE, "1", 0.3048),
        (Unit.CENTIMETRE, "1", 2.54),
        (Unit.BAR, "1", 0.06894757),
        (Unit.CELSIUS, "50", 10.0),
        (Unit.CELSIUS, "32", 0.0),
    ],
)
def test_us_units_follow_the_published_factors(unit: Unit, shown: str, kept: float) -> None:
    american = speech_for({}, chosen="en_US")
    assert parse_quantity(american, "x", shown, unit) == pytest.approx(kept, rel=5e-7)


@given(speeches, st.sampled_from(Unit), st.sampled_from(Units), st.integers(-500, 100_000))
def test_every_shown_quantity_reads_back_within_its_last_digit(
    speech: Speech, unit: Unit, units: Units, tenths: int
) -> None:
    own = speech.with_units(units)
    shown = quantity(own, tenths / 10, unit, 4)
    assert parse_quantity(own, "x", shown, unit) == pytest.approx(tenths / 10, abs=3e-3)


def test_a_quantity_never_breaks_before_its_unit(english: Speech) -> None:
    assert quantity(english, 4.0, Unit.CELSIUS) == "4\N{NO-BREAK SPACE}°C"
    assert quantity_figure(english, 0.32, Unit.MG_PER_LITRE) == "0.32"
    assert unit_symbol(english.with_units(Units.US), Unit.LITRE) == "gal"


def test_another_unit_is_refused_by_name(english: Speech) -> None:
    with pytest.raises(InputError, match="is not a number of l"):
        parse_quantity(english, "volume", "100 gal", Unit.LITRE)


def test_nothing_is_shown_without_a_sign(english: Speech) -> None:
    assert number(english, -0.04, 1) == "0.0"
    assert number(english, Decimal("-0.4"), 0) == "0"
