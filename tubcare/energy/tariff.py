"""Prices of electricity by the hour, and what a run costs.

Prices are Decimal minor units (cents, pence, øre) per kWh; sums are rounded once, at the end.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum
from typing import TYPE_CHECKING, Protocol

import numpy as np

from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from tubcare.energy.hours import HourRange

    Hours = NDArray[np.float64]

_MOST_MINOR_PER_KWH = 1_000_000
_MINUTES_PER_DAY = 1440


class EnergyPrice(Protocol):
    """Something that tells the price of each hour."""

    def minor_per_kwh(self, hours: HourRange) -> Hours:
        """Return the price of each hour, NaN where not known. [minor units per kWh]; (hours,)."""
        ...


def _require_price(name: str, price: Decimal) -> None:
    require(name, float(price), -_MOST_MINOR_PER_KWH, _MOST_MINOR_PER_KWH)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatPrice:
    """One price for every hour. [minor units per kWh]."""

    price_minor_kwh: Decimal

    def __post_init__(self) -> None:
        _require_price("price_minor_kwh", self.price_minor_kwh)

    def minor_per_kwh(self, hours: HourRange) -> Hours:
        """Return the price of each hour. [minor units per kWh]; float64 (hours,)."""
        return np.full(hours.count, float(self.price_minor_kwh))


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBand:
    """A price for part of the local day.

    Parameters
    ----------
    from_minute, to_minute
        Minutes after local midnight, 0..1440; the band wraps over midnight when `to_minute` is the
        smaller one.
    price_minor_kwh
        Price. [minor units per kWh]
    weekdays
        Days on which it holds, Monday = 0, by the day of each minute: a band over midnight on
        Fridays holds on Friday before dawn and on Friday late.
    """

    from_minute: int
    to_minute: int
    price_minor_kwh: Decimal
    weekdays: frozenset[int] = frozenset(range(7))

    def __post_init__(self) -> None:
        require("from_minute", self.from_minute, 0, _MINUTES_PER_DAY)
        require("to_minute", self.to_minute, 0, _MINUTES_PER_DAY)
        _require_price("price_minor_kwh", self.price_minor_kwh)
        if not self.weekdays <= frozenset(range(7)):
            raise InputError("weekdays", "must be 0 (Monday) to 6 (Sunday)")

    def holds(self, minute: NDArray[np.int64], weekday: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Say for each minute of a local day [min], weekday 0..6 [-], whether this band holds."""
        if self.from_minute < self.to_minute:
            inside = (minute >= self.from_minute) & (minute < self.to_minute)
        else:
            inside = (minute >= self.from_minute) | (minute < self.to_minute)
        on_day = np.isin(weekday, sorted(self.weekdays))
        return inside & on_day


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeOfUse:
    """Bands by local wall time; the first that holds counts, else `otherwise_minor_kwh`.

    Where the price changes within an hour (a night rate from half past, say), the hour takes the
    mean over its minutes.
    """

    bands: tuple[PriceBand, ...]
    otherwise_minor_kwh: Decimal

    def __post_init__(self) -> None:
        _require_price("otherwise_minor_kwh", self.otherwise_minor_kwh)

    def minor_per_kwh(self, hours: HourRange) -> Hours:
        """Return the price of each hour. [minor units per kWh]; float64 (hours,)."""
        minutes = np.arange(7 * _MINUTES_PER_DAY)
        week = np.full(minutes.size, float(self.otherwise_minor_kwh))
        for band in reversed(self.bands):
            where = band.holds(minutes % _MINUTES_PER_DAY, minutes // _MINUTES_PER_DAY)
            week[where] = float(band.price_minor_kwh)
        # The mean over the hour that begins at each minute of the week; Sunday runs into Monday.
        by_start = np.lib.stride_tricks.sliding_window_view(np.append(week, week[:59]), 60)
        in_day = hours.local_seconds // 60 % _MINUTES_PER_DAY
        weekday = (hours.local_day - 1) % 7
        starts, where = np.unique(weekday * _MINUTES_PER_DAY + in_day, return_inverse=True)
        prices: Hours = by_start[starts].mean(axis=1)[where]
        return prices


@dataclass(frozen=True, slots=True, kw_only=True)
class HourlyPrice:
    """A price for each hour, as an exchange publishes them; may be negative.

    `by_start` maps the aware instant at which an hour begins to its price [minor units per kWh].
    An hour that is not in it has no price, which is not the same as a price of 0.
    """

    by_start: Mapping[datetime, Decimal]

    def __post_init__(self) -> None:
        for start, price in self.by_start.items():
            if start.tzinfo is None:
                raise InputError("by_start", f"{start} needs a time zone")
            _require_price("price_minor_kwh", price)

    def minor_per_kwh(self, hours: HourRange) -> Hours:
        """Return the price of each hour, NaN where missing. [minor units per kWh]; (hours,)."""
        prices = np.full(hours.count, np.nan)
        first = int(hours.start.timestamp())
        for start, price in self.by_start.items():
            number, rest = divmod(int(start.astimezone(UTC).timestamp()) - first, 3600)
            if 0 <= number < hours.count and not rest:
                prices[number] = float(price)
        return prices


@dataclass(frozen=True, slots=True, kw_only=True)
class Tariff:
    """What the supplier asks.

    Parameters
    ----------
    energy
        Price of each hour.
    standing_minor_day
        Standing charge. [minor units per day], 0..100000
    tax_percent
        Added to both. [%], 0..100
    """

    energy: EnergyPrice
    standing_minor_day: Decimal = Decimal(0)
    tax_percent: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        require("standing_minor_day", float(self.standing_minor_day), 0.0, 100000.0)
        require("tax_percent", float(self.tax_percent), 0.0, 100.0)

    @property
    def with_tax(self) -> Decimal:
        """Factor by which the tax raises a price. [-]."""
        return 1 + self.tax_percent / 100


class StandingView(StrEnum):
    """Who bears the standing charge."""

    MARGINAL = "marginal"  # it is paid anyway: nothing of it is the tub's
    BY_ENERGY = "by_energy"  # shared by kWh with the rest of the household
    OWN_METER = "own_meter"  # the tub has a meter of its own


def standing_minor(
    tariff: Tariff,
    *,
    days: float,
    view: StandingView,
    tub_kwh: float,
    all_kwh: float | None = None,
) -> Decimal:
    """Return the tub's part of the standing charge, tax included. [minor units].

    Parameters
    ----------
    tariff
        With the charge per day.
    days
        Days covered. [d], 0..40000
    view
        Who bears it.
    tub_kwh, all_kwh
        Energy of the tub and of everything behind the meter. [kWh], at least 0; the second is
        needed only to share by energy and includes the first

    Raises
    ------
    InputError
        If the view shares by energy and the whole is missing or smaller than the part.
    OutOfRangeError
        If the days lie outside their range.

    References
    ----------
    Own definition of three customary bookings.
    """
    require("days", days, 0.0, 40000.0)
    whole = tariff.standing_minor_day * Decimal(repr(float(days))) * tariff.with_tax
    if view is StandingView.MARGINAL:
        return Decimal(0)
    if view is StandingView.OWN_METER:
        return whole
    if all_kwh is None or all_kwh < tub_kwh or all_kwh <= 0.0:
        raise InputError("all_kwh", "needs the energy of the whole meter, the tub's included")
    return whole * Decimal(repr(float(tub_kwh))) / Decimal(repr(float(all_kwh)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What a run costs, tax included. [minor units].

    `energy_minor` covers only the hours with a price: while `missing_hours` is over 0 it is too
    low, and the days named are incomplete.
    """

    energy_minor: float
    kwh: float
    missing_hours: int
    incomplete_days: tuple[date, ...]

    @property
    def complete(self) -> bool:
        """Whether every hour with a draw had a price."""
        return self.missing_hours == 0

    @property
    def rounded_minor(self) -> int:
        """The sum in whole [minor units], half to even."""
        return rounded_minor(self.energy_minor)


def rounded_minor(amount: float | Decimal) -> int:
    """Return an amount in whole [minor units], half to even, free of binary residue.

    Raises nothing.

    Parameters
    ----------
    amount
        To six places. [minor units], any

    References
    ----------
    Half to even: ISO 80000-1:2009, annex B, rule A (from memory).
    """
    exact = amount if isinstance(amount, Decimal) else Decimal(repr(round(amount, 6)))
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_EVEN))


def hourly_minor(tariff: Tariff, hours: HourRange, kwh: Hours) -> Hours:
    """Return the cost of each hour, tax included, NaN without a price. [minor units].

    Parameters
    ----------
    tariff
        Prices.
    hours
        Which hours.
    kwh
        Drawn in each of them; float64 (hours,). [kWh], any

    Raises
    ------
    InputError
        If there is not one value for each hour.

    References
    ----------
    Plain arithmetic: price times energy times tax.
    """
    if kwh.shape != (hours.count,):
        raise InputError("kwh", "needs one value for each hour")
    return tariff.energy.minor_per_kwh(hours) * kwh * float(tariff.with_tax)


def energy_cost(tariff: Tariff, hours: HourRange, kwh: Hours) -> Cost:
    """Return what the energy of these hours costs.

    Parameters
    ----------
    tariff
        Prices.
    hours
        Which hours.
    kwh
        Drawn in each of them; float64 (hours,). [kWh], any

    Raises
    ------
    InputError
        If there is not one value for each hour.

    References
    ----------
    Plain arithmetic: sum of price times energy.
    """
    minor = hourly_minor(tariff, hours, kwh)
    unknown = np.isnan(minor)
    days = sorted({int(day) for day in hours.local_day[unknown]})
    return Cost(
        energy_minor=float(np.where(unknown, 0.0, minor).sum()),
        kwh=float(kwh.sum()),
        missing_hours=int(unknown.sum()),
        incomplete_days=tuple(date.fromordinal(day) for day in days),
    )
