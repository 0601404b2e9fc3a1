"""Prices of electricity by the hour, as an exchange publishes them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.energy_price import require_price
from tubcare.energy.hours import HourRange
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Mapping
    from decimal import Decimal
    from zoneinfo import ZoneInfo

    from numpy.typing import NDArray

    Hours = NDArray[np.float64]
    Seconds = NDArray[np.int64]

_HOUR_S = 3600


@dataclass(frozen=True, kw_only=True)
class HourlyPrice:
    """A price for each hour; may be negative.

    `by_start` maps the aware instant at which an hour begins to its price [minor units per kWh].
    An hour that is not in it has no price, which is not the same as a price of 0. The hours may
    begin at any minute: where half-hour zones publish on their own clock, an hour of the engine
    takes the mean of the two that it lies across, each for as long as it holds.
    """

    by_start: Mapping[datetime, Decimal]

    def __post_init__(self) -> None:
        for start, price in self.by_start.items():
            if start.tzinfo is None:
                raise InputError("by_start", f"{start} needs a time zone")
            require_price("price_minor_kwh", price)

    @cached_property
    def _rows(self) -> tuple[Seconds, Hours]:
        """Beginnings in seconds since 1970 and prices, in order of time."""
        rows = sorted((int(start.timestamp()), float(p)) for start, p in self.by_start.items())
        return np.array([s for s, _ in rows], dtype=np.int64), np.array([p for _, p in rows])

    def minor_per_kwh(self, hours: HourRange) -> Hours:
        """Return the price of each hour, NaN where missing. [minor units per kWh]; (hours,).

        An hour that lies in part before the first price or after the last takes the part that has
        one; one with a gap in it has none.
        """
        begins, prices = self._rows
        if not begins.size:
            return np.full(hours.count, np.nan)
        first = int(hours.start.timestamp())
        number, late_s = np.divmod(begins - first, _HOUR_S)
        sums, held = np.zeros(hours.count), np.zeros(hours.count)
        for place, lasts_s in ((number, _HOUR_S - late_s), (number + 1, late_s)):
            inside = (place >= 0) & (place < hours.count)
            np.add.at(sums, place[inside], (lasts_s * prices)[inside])
            np.add.at(held, place[inside], lasts_s[inside])
        starts = first + _HOUR_S * np.arange(hours.count)
        outside_s = np.maximum(begins[0] - starts, 0)
        outside_s += np.maximum(starts - int(begins[-1]), 0)
        whole = (held > 0) & (held + outside_s >= _HOUR_S)
        found: Hours = np.divide(sums, held, out=np.full(hours.count, np.nan), where=whole)
        return found

    def usual_minor_per_kwh(self, hours: HourRange) -> Hours:
        """Return the price to count on, as where one is missing. [minor units per kWh]; (hours,).

        An hour without a price takes the mean of its hour of the day in its month; in a month
        without any, the mean of its hour of the day. NaN only where there is no price at all.
        """
        found = self.minor_per_kwh(hours)
        missing = np.isnan(found)
        if missing.any() and self.by_start:
            found[missing] = self._means(hours.zone)[_month(hours), hours.local_hour][missing]
        return found

    def _means(self, zone: ZoneInfo) -> Hours:
        """Return the mean price of each hour of the day in each month; float64 (12, 24)."""
        begins, _prices = self._rows
        first, last = int(begins[0]) // _HOUR_S, int(begins[-1]) // _HOUR_S
        start = datetime.fromtimestamp(first * _HOUR_S, UTC)
        own = HourRange(start=start, count=last - first + 1, zone=zone)
        prices = self.minor_per_kwh(own)
        known = ~np.isnan(prices)
        place = (_month(own) * 24 + own.local_hour)[known]
        size = 12 * 24
        sums = np.bincount(place, weights=prices[known], minlength=size).reshape(12, 24)
        counts = np.bincount(place, minlength=size).reshape(12, 24)
        by_hour = np.full(24, float(prices[known].mean()) if known.any() else np.nan)
        np.divide(sums.sum(axis=0), counts.sum(axis=0), out=by_hour, where=counts.any(axis=0))
        means: Hours = np.tile(by_hour, (12, 1))
        np.divide(sums, counts, out=means, where=counts > 0)
        return means


def _month(hours: HourRange) -> NDArray[np.int64]:
    months: NDArray[np.int64] = hours.month_index % 12
    return months
