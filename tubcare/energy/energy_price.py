"""Prices of electricity: one for every hour, or one for each part of the local day.

Prices are Decimal minor units (cents, pence, øre) per kWh.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from tubcare.energy.ranges import require
from tubcare.errors import InputError

if TYPE_CHECKING:
    from decimal import Decimal

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

    def usual_minor_per_kwh(self, hours: HourRange) -> Hours:
        """Return the price to count on in hours to come. [minor units per kWh]; (hours,)."""
        ...


def require_price(name: str, price: Decimal) -> None:
    """Refuse a price that cannot be one.

    Parameters
    ----------
    name
        Of the price, for the message.
    price
        [minor units per kWh], -1000000..1000000

    Raises
    ------
    OutOfRangeError
        If it lies outside its range.

    References
    ----------
    Own limits.
    """
    require(name, float(price), -_MOST_MINOR_PER_KWH, _MOST_MINOR_PER_KWH)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatPrice:
    """One price for every hour. [minor units per kWh]."""

    price_minor_kwh: Decimal

    def __post_init__(self) -> None:
        require_price("price_minor_kwh", self.price_minor_kwh)

    def minor_per_kwh(self, hours: HourRange) -> Hours:
        """Return the price of each hour. [minor units per kWh]; float64 (hours,)."""
        return np.full(hours.count, float(self.price_minor_kwh))

    def usual_minor_per_kwh(self, hours: HourRange) -> Hours:
        """Return the same: it is known ahead. [minor units per kWh]; float64 (hours,)."""
        return self.minor_per_kwh(hours)


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
        require_price("price_minor_kwh", self.price_minor_kwh)
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
        require_price("otherwise_minor_kwh", self.otherwise_minor_kwh)

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

    def usual_minor_per_kwh(self, hours: HourRange) -> Hours:
        """Return the same: it is known ahead. [minor units per kWh]; float64 (hours,)."""
        return self.minor_per_kwh(hours)
