"""Money for people: digits by ISO 4217, signs and places by the locale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.ledger.money import about, to_decimal, to_minor
from tubcare.words.locale import NO_CURRENCY
from tubcare.words.numbers import normalised, number, parse_number, plain_number

if TYPE_CHECKING:
    from decimal import Decimal

    from tubcare.words.locale import Speech


def money(speech: Speech, minor: int) -> str:
    """Return an amount with the sign of the logbook's currency: 14016 cents are €140.16."""
    return _with_symbol(speech, to_decimal(minor, speech.currency), speech.currency.exponent)


def signed_money(speech: Speech, minor: int) -> str:
    """Return a change of money with its sign, also when it is a rise: +€2.00."""
    return f"+{money(speech, minor)}" if minor > 0 else money(speech, minor)


def amount(speech: Speech, minor: int) -> str:
    """Return an amount without a currency sign: for columns that name the currency once."""
    return number(speech, to_decimal(minor, speech.currency), speech.currency.exponent)


def amount_to_edit(speech: Speech, minor: int) -> str:
    """Return an amount as an entry field starts with: no sign, no marks between thousands."""
    return plain_number(speech, to_decimal(minor, speech.currency), speech.currency.exponent)


def about_money(speech: Speech, minor: int) -> str:
    """Return a sentence part such as "about €140": two digits that count, no false accuracy."""
    rounded, digits = _about(speech, minor)
    return speech.say("about {amount}", amount=_with_symbol(speech, rounded, digits))


def whole_money(speech: Speech, minor: int) -> str:
    """Return an amount of whole units, which has no places: €140."""
    return _with_symbol(speech, to_decimal(minor, speech.currency), 0)


def money_tick(speech: Speech, value: float, decimals: int) -> str:
    """Return a figure beside an axis, in units of the currency: €100, or €0.50 where it is fine.

    Parameters
    ----------
    value
        In units of the currency.
    decimals
        How fine the axis is divided; 0 asks for whole units.
    """
    minor = round(value * speech.currency.minor_per_unit)
    return money(speech, minor) if decimals else whole_money(speech, minor)


def parse_money(speech: Speech, field: str, text: str) -> int:
    """Return the minor units that a person typed, with or without the currency's sign or code.

    Raises
    ------
    InputError
        For another currency, more digits than the minor unit has, or what is not one certain
        number; the reason says what was understood.
    OutOfRangeError
        For more than a logbook takes for meant.
    """
    plain = _without_symbol(speech, normalised(text))
    if any(char.isalpha() or char in "$£€¥₹" for char in plain):
        raise InputError(
            field,
            speech.say(
                "“{text}” is not an amount in {code}; this logbook is kept in {code}",
                text=text.strip()[:60],
                code=speech.currency.code,
            ),
        )
    value = parse_number(speech, field, plain, max_decimals=speech.currency.exponent)
    return to_minor(value, speech.currency)


def parse_payment(speech: Speech, field: str, text: str) -> int:
    """Return the minor units of something paid; as `parse_money`, and a minus is refused."""
    minor = parse_money(speech, field, text)
    if minor < 0:
        raise InputError(
            field, speech.say("write it without a minus; money that came back is a refund")
        )
    return minor


def _about(speech: Speech, minor: int) -> tuple[Decimal, int]:
    rounded = about(minor)
    whole = rounded % speech.currency.minor_per_unit == 0
    return to_decimal(rounded, speech.currency), 0 if whole else speech.currency.exponent


def _with_symbol(speech: Speech, value: Decimal, digits: int) -> str:
    if speech.currency == NO_CURRENCY:
        return number(speech, value, digits)
    from babel.numbers import format_currency, parse_pattern  # noqa: PLC0415  Babel costs 20 ms

    pattern = parse_pattern(speech.formats.currency_formats["standard"].pattern)
    # The digits of ISO 4217; Babel's own are those of price tags.
    pattern.frac_prec = (digits, digits)
    return format_currency(
        value,
        speech.currency.code,
        format=pattern,
        locale=speech.formats,
        currency_digits=False,
    )


def _without_symbol(speech: Speech, plain: str) -> str:
    """Return the text without one sign or code of the logbook's own currency at either end."""
    if speech.currency == NO_CURRENCY:
        return plain
    from babel.numbers import get_currency_symbol  # noqa: PLC0415  Babel costs 20 ms

    code = speech.currency.code
    signs = {code, code.lower(), normalised(get_currency_symbol(code, locale=speech.formats))}
    for sign in sorted(signs, key=len, reverse=True):
        head, found, tail = plain.partition(sign)
        if found and (head.strip() in {"", "-"} or tail.strip() in {"", "-"}):
            return normalised(f"{head.strip()}{tail.strip()}")
    return plain
