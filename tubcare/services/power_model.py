"""What a tub draws by the day, by its states and its weather, with the range that is honest."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

import numpy as np

from tubcare.energy.hours import hours_of_days
from tubcare.energy.power import run_power
from tubcare.energy.tariff import hourly_minor
from tubcare.energy.uncertainty import Estimate, estimate
from tubcare.services.power_days import Mode, Stretch

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from numpy.typing import NDArray

    from tubcare.energy.tariff import Tariff
    from tubcare.energy.tub import Tub
    from tubcare.energy.uncertainty import Spread
    from tubcare.services.power_weather_store import SiteWeather

    Values = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A tub as learned, what is not known about it, its weather, and its prices."""

    tub: Tub
    spread: Spread
    weather: SiteWeather
    tariff: Tariff | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """Sums over some days: energy [kWh], cost [minor units], compressor hours [h], its starts."""

    kwh: Estimate
    cost_minor: Estimate | None
    run_h: Estimate
    starts: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What ran in each hour, or on each day; units as in `Drawn`, a cost of 0 without prices."""

    kwh: Values
    cost_minor: Values
    run_h: Values
    starts: Values


class DayModel:
    """Models a run of days once, and sums any groups of them with their range.

    Parameters
    ----------
    site
        As named.
    days
        What ran on which days, without gaps.
    """

    def __init__(self, site: Site, days: Sequence[Stretch]) -> None:
        self._site = site
        self._days = days
        self.first, self.last = days[0].first, days[-1].last
        self._hours = hours_of_days(self.first, self.last, site.weather.zone)
        self._weather, self.typical_hours = site.weather.for_hours(self._hours)
        known = ~np.isnan(self._weather.air_c)
        self._day_of_hour = self._hours.local_day - self.first.toordinal()
        self._count = (self.last - self.first).days + 1
        self._day_known = self._by_day((~known).astype(np.float64)) == 0.0
        self._parts = self._running_parts()
        missing = self._missing_prices()
        self.missing_price_hours = int(missing.sum())
        self._day_priced = self._by_day(missing.astype(np.float64)) == 0.0

    def knows(self, day: date) -> bool:
        """Return whether the weather of a day is known, so that it is modelled."""
        place = (day - self.first).days
        return 0 <= place < self._count and bool(self._day_known[place])

    def prices(self, day: date) -> bool:
        """Return whether every hour of a day has a price."""
        place = (day - self.first).days
        return 0 <= place < self._count and bool(self._day_priced[place])

    @property
    def hours(self) -> int:
        """How many hours the days have."""
        return self._hours.count

    def sums(self, groups: Sequence[Sequence[date]]) -> tuple[Drawn, ...]:
        """Return what was drawn on each group of days; days outside the run count nothing."""
        if not groups:
            return ()
        members = np.zeros((len(groups), self._count))
        for row, group in enumerate(groups):
            for day in group:
                place = (day - self.first).days
                if 0 <= place < self._count:
                    members[row, place] = 1.0

        def quantities(tub: Tub) -> tuple[float, ...]:
            days = self._daily(self._hourly(tub))
            series = (days.kwh, days.cost_minor, days.run_h, days.starts)
            return tuple(float(each) for values in series for each in members @ values)

        found = estimate(self._site.tub, self._site.spread, quantities)
        size = len(groups)
        return tuple(
            Drawn(
                kwh=found[n],
                cost_minor=None if self._site.tariff is None else found[size + n],
                run_h=found[2 * size + n],
                starts=found[3 * size + n],
            )
            for n in range(size)
        )

    def by_day(self) -> Run:
        """Return what ran on each day, without its range."""
        return self._daily(self._hourly(self._site.tub))

    def by_hour(self) -> Run:
        """Return what ran in each hour of the days, without its range."""
        return self._hourly(self._site.tub)

    def _hourly(self, tub: Tub) -> Run:
        kwh, run_h, starts = (np.zeros(self._hours.count) for _ in range(3))
        for part, mode in self._parts:
            hours, weather = self._hours.part(*part), self._weather.part(*part)
            ran = tub if mode is Mode.RUNNING else replace(tub, resting=True)
            found = run_power(ran, hours, weather)
            kwh[part[0] : part[1]] = found.total_kwh
            run_h[part[0] : part[1]] = found.run.run_h
            starts[part[0] : part[1]] = found.run.starts
        cost = np.zeros(self._hours.count)
        if self._site.tariff is not None:
            cost = np.nan_to_num(hourly_minor(self._site.tariff, self._hours, kwh))
        return Run(kwh=kwh, cost_minor=cost, run_h=run_h, starts=starts)

    def _daily(self, hourly: Run) -> Run:
        return Run(
            kwh=self._by_day(hourly.kwh),
            cost_minor=self._by_day(hourly.cost_minor),
            run_h=self._by_day(hourly.run_h),
            starts=self._by_day(hourly.starts),
        )

    def _running_parts(self) -> list[tuple[tuple[int, int], Mode]]:
        """Return the hours of each stretch in which something runs and the weather is known."""
        found: list[tuple[tuple[int, int], Mode]] = []
        day_mode = [Mode.OFF] * self._count
        for stretch in self._days:
            for number in range((stretch.last - stretch.first).days + 1):
                place = (stretch.first + timedelta(days=number) - self.first).days
                day_mode[place] = stretch.mode if self._day_known[place] else Mode.OFF
        begin = 0
        for hour in range(1, self._hours.count + 1):
            mode = day_mode[int(self._day_of_hour[begin])]
            ended = hour == self._hours.count
            if ended or day_mode[int(self._day_of_hour[hour])] is not mode:
                if mode is not Mode.OFF:
                    found.append(((begin, hour), mode))
                begin = hour
        return found

    def _by_day(self, values: Values) -> Values:
        sums: Values = np.bincount(
            self._day_of_hour, weights=values, minlength=self._count
        ).astype(np.float64)
        return sums

    def _missing_prices(self) -> NDArray[np.bool_]:
        if self._site.tariff is None:
            return np.zeros(self._hours.count, dtype=np.bool_)
        return np.isnan(self._site.tariff.energy.minor_per_kwh(self._hours))
