"""Rules that step by months or years, as tables over the few kinds of month and year.

A month is told apart by its length and the weekday it begins on (28 kinds), a year by being a
leap year, the weekday it begins on, and whether the year before was a leap year (28 kinds). The
days that a rule picks depend on the kind alone, so each kind is worked out once, when first met.
"""

from __future__ import annotations

import calendar
from bisect import bisect_left
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from tubcare.care.rrule_days import choose

if TYPE_CHECKING:
    from tubcare.care.rrule_parts import RuleParts

_LAST_YEAR = date.max.year
_LAST_MONTH = _LAST_YEAR * 12 + 11
_KINDS = 28


def _empty_table() -> list[tuple[int, ...] | None]:
    return [None] * _KINDS


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthPattern:
    """Certain days of every `interval`-th month; months count as ``year * 12 + month - 1``."""

    start: int
    first_month: int
    parts: RuleParts
    interval: int
    months: frozenset[int]
    table: list[tuple[int, ...] | None] = field(default_factory=_empty_table, compare=False)

    def first(self, low: int, high: int) -> int | None:
        """Return the first ordinal in low..high, or None."""
        low = max(low, self.start)
        interval = self.interval
        day = date.fromordinal(low)
        month = day.year * 12 + day.month - 1
        month += (self.first_month - month) % interval
        while month <= _LAST_MONTH:
            if not self.months or month % 12 + 1 in self.months:
                before = date(month // 12, month % 12 + 1, 1).toordinal() - 1
                if before >= high:
                    return None
                for number in self._days(month, before):
                    if before + number >= low:
                        return before + number if before + number <= high else None
            month += interval
        return None

    def scan(self, low: int, high: int) -> list[int]:
        """Return the ordinals in low..high, in order."""
        low = max(low, self.start)
        interval = self.interval
        found: list[int] = []
        if low > high:
            return found
        start = date.fromordinal(low)
        month = start.year * 12 + start.month - 1
        month += (self.first_month - month) % interval
        while month <= _LAST_MONTH:
            if not self.months or month % 12 + 1 in self.months:
                before = date(month // 12, month % 12 + 1, 1).toordinal() - 1
                if before >= high:
                    break
                days = self._days(month, before)
                found += [before + day for day in days if low <= before + day <= high]
            month += interval
        return found

    def _days(self, month: int, before: int) -> tuple[int, ...]:
        """Return the day numbers of the month that follows the ordinal `before`."""
        year, index = divmod(month, 12)
        length = _LENGTHS[index]
        if index == 1 and year % 4 == 0 and (year % 100 != 0 or year % 400 == 0):
            length = 29
        kind = before % 7 + 7 * (length - 28)
        days = self.table[kind]
        if days is None:
            days = _days_of_month(self.parts, before % 7, length)
            self.table[kind] = days
        return days


_LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def _days_of_month(parts: RuleParts, first_weekday: int, length: int) -> tuple[int, ...]:
    """Return the day numbers (from 1) that the rule picks in such a month."""
    if parts.by_month_day:
        indexes = _of_month_days(parts.by_month_day, length)
        if parts.by_day:
            indexes &= _of_weekdays(parts.by_day, first_weekday, length)
    else:
        indexes = _of_weekdays(parts.by_day, first_weekday, length)
    return tuple(choose([index + 1 for index in sorted(indexes)], parts.by_set_pos))


def _of_month_days(month_days: tuple[int, ...], length: int) -> set[int]:
    """Return the days (from 0) of a month that BYMONTHDAY names; short months lack some."""
    found = {n - 1 if n > 0 else length + n for n in month_days}
    return {index for index in found if 0 <= index < length}


def _of_weekdays(by_day: tuple[tuple[int, int], ...], first_weekday: int, length: int) -> set[int]:
    """Return the days (from 0) of a month or year that BYDAY names.

    Plain and numbered days may be mixed: the RFC lists them, so any one of them will do.
    """
    found: set[int] = set()
    for weekday, number in by_day:
        first = (weekday - first_weekday) % 7
        if number == 0:
            found.update(range(first, length, 7))
            continue
        last = first + 7 * ((length - 1 - first) // 7)
        index = first + 7 * (number - 1) if number > 0 else last + 7 * (number + 1)
        if 0 <= index < length:
            found.add(index)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class YearPattern:
    """Certain days of every `interval`-th year from `first_year` on."""

    start: int
    first_year: int
    parts: RuleParts
    interval: int
    table: list[tuple[int, ...] | None] = field(default_factory=_empty_table, compare=False)

    def first(self, low: int, high: int) -> int | None:
        """Return the first ordinal in low..high, or None."""
        low = max(low, self.start)
        year = date.fromordinal(low).year
        year += (self.first_year - year) % self.interval
        while year <= _LAST_YEAR:
            begins = date(year, 1, 1).toordinal()
            if begins > high:
                return None
            days = self._days(year, begins)
            index = bisect_left(days, low - begins)
            if index < len(days):
                at = begins + days[index]
                return at if at <= high else None
            year += self.interval
        return None

    def scan(self, low: int, high: int) -> list[int]:
        """Return the ordinals in low..high, in order."""
        low = max(low, self.start)
        found: list[int] = []
        if low > high:
            return found
        year = date.fromordinal(low).year
        year += (self.first_year - year) % self.interval
        while year <= _LAST_YEAR:
            begins = date(year, 1, 1).toordinal()
            if begins > high:
                break
            days = self._days(year, begins)
            found += [begins + day for day in days if low <= begins + day <= high]
            year += self.interval
        return found

    def _days(self, year: int, begins: int) -> tuple[int, ...]:
        """Return the days (from 0) of the year that begins on the ordinal `begins`."""
        leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
        after_leap = year % 4 == 1 and (year % 100 != 1 or year % 400 == 1)
        kind = begins % 7 + 7 * leap + 14 * after_leap
        days = self.table[kind]
        if days is None:
            days = _days_of_year(self.parts, year)
            self.table[kind] = days
        return days


def _days_of_year(parts: RuleParts, year: int) -> tuple[int, ...]:
    """Return the days (from 0) of `year` that the rule picks, by the RFC's table of parts."""
    length = 365 + calendar.isleap(year)
    begins = date(year, 1, 1).toordinal()
    found: list[int] = []
    for month in parts.by_month or range(1, 13):
        found += _month_in_year(parts, begins, date(year, month, 1))
    if parts.by_year_day:
        wanted = {n - 1 if n > 0 else length + n for n in parts.by_year_day}
        found = [index for index in found if index in wanted]
    if parts.by_week_no:
        weeks = frozenset(parts.by_week_no)
        found = [i for i in found if _in_weeks(weeks, begins + i, parts.week_start)]
    if parts.by_day and not parts.by_month:
        named = _of_weekdays(parts.by_day, (begins - 1) % 7, length)
        found = [index for index in found if index in named]
    return tuple(choose(found, parts.by_set_pos))


def _month_in_year(parts: RuleParts, begins: int, first: date) -> list[int]:
    """Return the days of one month, counted from the year's first, before the year's own parts.

    Numbered weekdays count within the month where the rule names months, else within the year.
    """
    offset = first.toordinal() - begins
    length = calendar.monthrange(first.year, first.month)[1]
    indexes = set(range(length))
    if parts.by_month_day:
        indexes = _of_month_days(parts.by_month_day, length)
    if parts.by_day and parts.by_month:
        indexes &= _of_weekdays(parts.by_day, first.weekday(), length)
    return [offset + index for index in sorted(indexes)]


def _in_weeks(weeks: frozenset[int], ordinal: int, week_start: int) -> bool:
    """Return whether the day lies in one of the week numbers (ISO 8601 with a movable first day).

    A week belongs to the year of its fourth day; negative numbers count from that year's last.
    """
    fourth = date.fromordinal(ordinal - (ordinal - 1 - week_start) % 7 + 3)
    index = fourth.toordinal() - date(fourth.year, 1, 1).toordinal()
    total = (364 + calendar.isleap(fourth.year) - index % 7) // 7 + 1
    number = index // 7 + 1
    return number in weeks or number - total - 1 in weeks
