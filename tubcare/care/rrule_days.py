"""Rules that step by days or weeks, as direct arithmetic on day ordinals.

All patterns speak in proleptic Gregorian ordinals (`date.toordinal`; ordinal 1 is a Monday) and
work a period out from its number, so the age of a rule costs nothing.
"""

from __future__ import annotations

import calendar
from bisect import bisect_left
from dataclasses import dataclass
from datetime import date

_MAX_ORDINAL = date.max.toordinal()


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPattern:
    """Every `interval` days from `start`."""

    start: int
    interval: int

    def first(self, low: int, high: int) -> int | None:
        """Return the first ordinal in low..high, or None."""
        start = self.start
        at = start if low <= start else low + (start - low) % self.interval
        return at if at <= high else None

    def scan(self, low: int, high: int) -> list[int]:
        """Return the ordinals in low..high, in order."""
        start = self.start
        at = start if low <= start else low + (start - low) % self.interval
        return list(range(at, high + 1, self.interval))


@dataclass(frozen=True, slots=True, kw_only=True)
class FilteredDayPattern:
    """Every `interval` days, if in one of the months, month days and weekdays (empty: any)."""

    start: int
    interval: int
    months: frozenset[int]
    month_days: frozenset[int]
    weekdays: frozenset[int]

    def first(self, low: int, high: int) -> int | None:
        """Return the first ordinal in low..high, or None."""
        at = self._align(low)
        while at <= high:
            day = date.fromordinal(at)
            if self.months and day.month not in self.months:
                at = self._align(_next_month_in(self.months, day))
            elif self._fits(day):
                return at
            else:
                at += self.interval
        return None

    def scan(self, low: int, high: int) -> list[int]:
        """Return the ordinals in low..high, in order."""
        found = []
        at = self.first(low, high)
        while at is not None:
            found.append(at)
            at = self.first(at + 1, high)
        return found

    def _align(self, low: int) -> int:
        return self.start if low <= self.start else low + (self.start - low) % self.interval

    def _fits(self, day: date) -> bool:
        if self.weekdays and day.weekday() not in self.weekdays:
            return False
        if not self.month_days or day.day in self.month_days:
            return True
        from_end = day.day - calendar.monthrange(day.year, day.month)[1] - 1
        return from_end in self.month_days


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekPattern:
    """Certain days of every `interval`-th week.

    `first_week` is the ordinal of the first day of the week of `start`; `offsets` counts from
    the first day of the week. `positions` choose among the days of one week (BYSETPOS), counted
    over the whole week also where `start` falls in its middle.
    """

    start: int
    interval: int
    first_week: int
    offsets: tuple[int, ...]
    months: frozenset[int]
    positions: tuple[int, ...]

    def first(self, low: int, high: int) -> int | None:
        """Return the first ordinal in low..high, or None."""
        low = max(low, self.start)
        step = 7 * self.interval
        week = low - (low - self.first_week) % step
        if not self.months:
            return self._first_of_week(week, low, high)
        while week <= high:
            for at in self._days(week):
                if at >= low:
                    return at if at <= high else None
            week += step
            if date.fromordinal(min(week, _MAX_ORDINAL - 6) + 6).month not in self.months:
                week = self._skip_to_month(week)
        return None

    def scan(self, low: int, high: int) -> list[int]:
        """Return the ordinals in low..high, in order."""
        low = max(low, self.start)
        step = 7 * self.interval
        week = low - (low - self.first_week) % step
        found: list[int] = []
        if self.months:
            while week <= high:
                found += [at for at in self._days(week) if low <= at <= high]
                week += step
            return found
        offsets = self.offsets
        for at_week in range(week, high + 1, step):
            for offset in offsets:
                at = at_week + offset
                if low <= at <= high:
                    found.append(at)
        return found

    def _first_of_week(self, week: int, low: int, high: int) -> int | None:
        offsets = self.offsets
        index = bisect_left(offsets, low - week)
        at = (
            week + offsets[index]
            if index < len(offsets)
            else week + 7 * self.interval + offsets[0]
        )
        return at if at <= high else None

    def _days(self, week: int) -> list[int]:
        days = [
            week + offset
            for offset in self.offsets
            if week + offset <= _MAX_ORDINAL
            and date.fromordinal(week + offset).month in self.months
        ]
        return choose(days, self.positions)

    def _skip_to_month(self, week: int) -> int:
        """Return the first week of the rule from `week` on that touches one of the months."""
        if week > _MAX_ORDINAL - 31:
            return week
        day = date.fromordinal(week)
        if day.month in self.months:
            return week
        target = _next_month_in(self.months, day)
        step = 7 * self.interval
        # The week that holds the target day may begin before it.
        return week + max(0, (target - week) // step) * step


def choose(days: list[int], positions: tuple[int, ...]) -> list[int]:
    """Return the days at the given positions (BYSETPOS: from 1, or from -1 backwards)."""
    if not positions:
        return days
    size = len(days)
    wanted = {at - 1 if at > 0 else size + at for at in positions}
    return [day for index, day in enumerate(days) if index in wanted]


def _next_month_in(months: frozenset[int], day: date) -> int:
    """Return the ordinal of the first day of the next month after `day`'s that is in `months`."""
    year, month = day.year, day.month
    for _ in range(12):
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
        if month in months:
            break
    return date(year, month, 1).toordinal() if year <= date.max.year else _MAX_ORDINAL + 1
