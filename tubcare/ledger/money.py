"""Amounts as whole minor units: reading, rounding, splitting, and what "about" means."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.ledger.currency import Currency

MAX_MINOR = 10**12
"""Largest amount that is taken for meant: ten thousand million units of a two-digit currency."""

MAX_PLACES = 30
"""An amount whose first digit comes later is refused: its fraction could fill the memory."""

ABOUT_DIGITS = 2


def check_minor(name: str, minor: int, low: int = 0, high: int = MAX_MINOR) -> int:
    """Return an amount within its bounds; raise `OutOfRangeError` otherwise."""
    if not low <= minor <= high:
        raise OutOfRangeError(name, minor, low, high)
    return minor


def divide_half_even(numerator: int, denominator: int) -> int:
    """Return the quotient rounded to the nearest whole number, a tie to the even one.

    Exact for integers of any size and symmetric about zero; `denominator` must be positive.
    """
    if denominator <= 0:
        raise OutOfRangeError("denominator", denominator, 1, float("inf"))
    quotient, rest = divmod(numerator, denominator)
    twice = 2 * rest
    if twice > denominator or (twice == denominator and quotient % 2):
        quotient += 1
    return quotient


def to_decimal(minor: int, currency: Currency) -> Decimal:
    """Return minor units as units with all digits of the currency: 380 cents are 3.80."""
    return Decimal(minor).scaleb(-currency.exponent)


def to_minor(amount: Decimal, currency: Currency) -> int:
    """Return units as minor units, exactly.

    Raises
    ------
    InputError
        If the amount is not a number or has more digits than the currency's minor unit.
    OutOfRangeError
        If it is larger than `MAX_MINOR` in either direction.
    """
    numerator, denominator = _ratio(amount, currency)
    minor, rest = divmod(numerator, denominator)
    if rest:
        digits = currency.exponent
        raise InputError("amount", f"{currency.code} has {digits} decimals; {amount} has more")
    return minor


def split(total: int, weights: Sequence[int]) -> tuple[int, ...]:
    """Return `total` in parts by weight that add up to it, by largest remainder.

    Each part is within one unit of its exact share; ties go to the earliest; a negative total is
    the mirror image of the positive one.

    Raises
    ------
    InputError
        If there is no weight, a weight is negative, or all are zero.
    """
    whole = sum(weights)
    if whole <= 0 or min(weights) < 0:
        raise InputError("weights", "give weights of zero or more, one of them above zero")
    if total < 0:
        return tuple(-part for part in split(-total, weights))
    shares = [divmod(total * weight, whole) for weight in weights]
    missing = total - sum(quotient for quotient, _ in shares)
    by_rest = sorted(range(len(shares)), key=lambda i: (-shares[i][1], i))
    gains = frozenset(by_rest[:missing])
    return tuple(share[0] + (i in gains) for i, share in enumerate(shares))


def about(minor: int) -> int:
    """Return the amount that a sentence with "about" in it names.

    The rule: two significant digits, a tie to the even one. So 140.16 is "about 140", 3.75 "about
    3.80", 215.91 "about 220"; below one hundred minor units nothing is rounded. The figure told is
    at most 5 % off; tables, files and sums always use the exact amount.
    """
    size = int(10 ** max(0, len(str(abs(minor))) - ABOUT_DIGITS))
    return divide_half_even(minor, size) * size


def _ratio(amount: Decimal, currency: Currency) -> tuple[int, int]:
    """Return the minor units as an exact fraction, once the amount is known to be sensible."""
    if not amount.is_finite():
        raise InputError("amount", f"{amount} is no amount")
    limit = MAX_MINOR // currency.minor_per_unit
    if abs(amount) > limit:
        raise OutOfRangeError("amount", float(amount), -limit, limit)
    if amount and amount.adjusted() < -MAX_PLACES:
        raise InputError("amount", f"{amount:.1e} is smaller than any minor unit")
    numerator, denominator = amount.as_integer_ratio()
    return numerator * currency.minor_per_unit, denominator
