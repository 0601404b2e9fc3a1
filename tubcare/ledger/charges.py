"""What power and water cost: metered kilowatt hours and filled litres, times a price."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.money import MAX_PLACES, check_minor, divide_half_even

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from tubcare.ledger.currency import Currency

MAX_METER_MILLI = 10**12
"""Largest meter value, in thousandths of a kilowatt hour."""
MAX_LITRES = 100_000
MAX_UNIT_PRICE = 10**9


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterReading:
    """What a power meter showed. `starts_meter` marks the first value of a new one."""

    on: date
    value_milli: int
    starts_meter: bool = False

    def __post_init__(self) -> None:
        """Refuse a value that no meter shows."""
        if not 0 <= self.value_milli <= MAX_METER_MILLI:
            raise OutOfRangeError("value_milli", self.value_milli, 0, MAX_METER_MILLI)


@dataclass(frozen=True, slots=True, kw_only=True)
class MeteredCharge:
    """Power between two readings: energy in watt hours, money in minor units."""

    from_on: date
    on: date
    energy_wh: int
    minor: int


def energy_wh(readings: Sequence[MeterReading]) -> int:
    """Return the energy between the first and the last reading, in watt hours.

    Readings come in the order in which they were taken. The step to the first value of a new meter
    counts nothing: write down the old meter's last value on the day of the exchange, too.

    Raises
    ------
    InputError
        If there are fewer than two, if one is older than the one before, or if one shows less
        than the one before and starts no new meter.
    """
    if len(readings) < 2:
        raise InputError("reading", "a charge needs the reading before it; write down one more")
    total = 0
    for before, after in pairwise(readings):
        if after.on < before.on:
            raise InputError("reading", f"{after.on} lies before the last one of {before.on}")
        if after.starts_meter:
            continue
        if after.value_milli < before.value_milli:
            what = f"{_shown(after)} is lower than {_shown(before)} of {before.on}"
            raise InputError(
                "reading", f"{what}; check it, or mark it as the first value of a new meter"
            )
        total += after.value_milli - before.value_milli
    return total


def metered_charge(
    readings: Sequence[MeterReading], *, price_per_kwh: Decimal, currency: Currency
) -> MeteredCharge:
    """Return what the power between the first and the last reading costs.

    The amount is rounded once, half even. Raises like `energy_wh` and `power_minor`.
    """
    energy = energy_wh(readings)
    return MeteredCharge(
        from_on=readings[0].on,
        on=readings[-1].on,
        energy_wh=energy,
        minor=power_minor(energy, price_per_kwh=price_per_kwh, currency=currency),
    )


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


def _shown(reading: MeterReading) -> str:
    return f"{Decimal(reading.value_milli).scaleb(-3).normalize():f} kWh"
