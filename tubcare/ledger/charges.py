"""What power and water cost: watt hours and filled litres, times a price."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.money import MAX_PLACES, check_minor, divide_half_even

if TYPE_CHECKING:
    from tubcare.ledger.currency import Currency

MAX_METER_MILLI = 10**12
"""Largest meter value, in thousandths of a kilowatt hour."""
MAX_LITRES = 100_000
MAX_UNIT_PRICE = 10**9


def power_minor(energy_wh: int, *, price_per_kwh: Decimal, currency: Currency) -> int:
    """Return what an energy in watt hours costs, in minor units, rounded half even.

    Raises
    ------
    OutOfRangeError
        For a negative energy or price, or an absurd result.
    """
    if not 0 <= energy_wh <= MAX_METER_MILLI:
        raise OutOfRangeError("energy_wh", energy_wh, 0, MAX_METER_MILLI)
    return _priced(energy_wh, 1000, _price("price_per_kwh", price_per_kwh), currency)


def water_minor(litres: float | Decimal, *, price_per_m3: Decimal, currency: Currency) -> int:
    """Return what so many litres cost, in minor units, rounded half even.

    A float is taken as the decimal number that it is written as. Range: 0..100,000 litres.

    Raises
    ------
    OutOfRangeError
        For litres or a price outside the range, or an absurd result.
    """
    if not 0 <= litres <= MAX_LITRES:
        raise OutOfRangeError("litres", float(litres), 0, MAX_LITRES)
    filled = litres if isinstance(litres, Decimal) else Decimal(repr(litres))
    numerator, denominator = _ratio("litres", filled)
    return _priced(numerator, denominator * 1000, _price("price_per_m3", price_per_m3), currency)


def _price(name: str, price: Decimal) -> tuple[int, int]:
    """Return a price as an exact fraction."""
    if not price.is_finite():
        raise InputError(name, f"{price} is no price")
    if not 0 <= price <= MAX_UNIT_PRICE:
        raise OutOfRangeError(name, float(price), 0, MAX_UNIT_PRICE)
    return _ratio(name, price)


def _ratio(name: str, value: Decimal) -> tuple[int, int]:
    if value and value.adjusted() < -MAX_PLACES:
        raise InputError(name, f"{value:.1e} is too small to be meant")
    return value.as_integer_ratio()


def _priced(amount: int, per: int, price: tuple[int, int], currency: Currency) -> int:
    numerator, denominator = price
    minor = divide_half_even(amount * numerator * currency.minor_per_unit, per * denominator)
    return check_minor("minor", minor)
