"""Recurrence rules over local dates (RFC 5545, section 3.3.10), compiled to date arithmetic.

Where the RFC leaves room, or common libraries differ from it:

- the start is an occurrence only if it fits the rule, and COUNT counts from the first that does;
- plain and numbered days may be mixed in BYDAY and are listed together, as the RFC says;
- BYSETPOS counts over the whole first week, month or year, also where the rule starts within it;
- BYWEEKNO without a part that names days keeps the weekday of the start, as the RFC derives what a
  rule leaves out from its start;
- days of week 1 that lie in the old year belong to the old year's period, so INTERVAL counts
  calendar years.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Protocol

from tubcare.care.rrule_days import DayPattern, FilteredDayPattern, WeekPattern
from tubcare.care.rrule_months import MonthPattern, YearPattern
from tubcare.care.rrule_parts import Frequency, RuleParts, parse_rule
from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Iterator

_MAX_ORDINAL = date.max.toordinal()
#: A rule must name a date within forty years of its start: 29 February on a given weekday may need
#: them all around a year such as 2100 (Gregorian calendar).
_FIRST_WITHIN_DAYS = 40 * 366
#: How far ahead a next date is searched for.
_HORIZON_DAYS = 36_525


class Pattern(Protocol):
    """A rule without its end, over day ordinals."""

    def first(self, low: int, high: int) -> int | None:
        """Return the first ordinal in low..high, or None."""
        ...

    def scan(self, low: int, high: int) -> list[int]:
        """Return the ordinals in low..high, in order."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A compiled rule.

    `last` is the ordinal that it ends on; `gap_days` the smallest gap between its first dates.
    """

    pattern: Pattern
    last: int
    gap_days: int

    def scan(self, low: int, high: int) -> list[int]:
        """Return the day ordinals of the rule in low..high, in order."""
        return self.pattern.scan(low, min(self.last, high))

    def first(self, low: int) -> int | None:
        """Return the first day ordinal from `low` on, within a hundred years, or None."""
        high = min(self.last, low + _HORIZON_DAYS)
        # After the last day of the calendar there is no month or year to look into.
        return self.pattern.first(low, high) if low <= high else None

    def between(self, low: date, high: date) -> list[date]:
        """Return the dates in low..high, both included, in order."""
        high_ordinal = min(high.toordinal(), self.last)
        return [*map(date.fromordinal, self.pattern.scan(low.toordinal(), high_ordinal))]

    def dates(self, low: date) -> Iterator[date]:
        """Yield the dates from `low` on, until the rule ends or names none for a hundred years."""
        at = self.first(low.toordinal())
        while at is not None:
            yield date.fromordinal(at)
            at = self.first(at + 1)


def compile_rule(text: str, start: date) -> Rule:
    """Return the rule in `text`, beginning on `start`.

    Raises
    ------
    InputError
        With the part of the rule that cannot be used as its field; also for a rule that names
        no date within forty years of its start.
    """
    parts = parse_rule(text)
    pattern = _pattern(parts, start)
    begins = start.toordinal()
    last = _MAX_ORDINAL if parts.until is None else parts.until.toordinal()
    if last < begins:
        raise InputError("UNTIL", "lies before the start of the rule")
    first = pattern.first(begins, min(begins + _FIRST_WITHIN_DAYS, last))
    if first is None:
        raise InputError(_narrowest(parts), "names no date within forty years of the start")
    if parts.count is not None:
        last = _last_of(pattern, first, parts.count)
    return Rule(pattern=pattern, last=last, gap_days=_gap_days(parts, pattern, first))


def _pattern(parts: RuleParts, start: date) -> Pattern:
    match parts.frequency:
        case Frequency.DAILY:
            return _day_pattern(parts, start)
        case Frequency.WEEKLY:
            return _week_pattern(parts, start)
        case Frequency.MONTHLY:
            if not parts.by_month_day and not parts.by_day:
                parts = replace(parts, by_month_day=(start.day,))
            return MonthPattern(
                start=start.toordinal(),
                first_month=start.year * 12 + start.month - 1,
                parts=parts,
                interval=parts.interval,
                months=frozenset(parts.by_month),
            )
        case Frequency.YEARLY:
            return YearPattern(
                start=start.toordinal(),
                first_year=start.year,
                parts=_with_days_of_year(parts, start),
                interval=parts.interval,
            )


def _day_pattern(parts: RuleParts, start: date) -> Pattern:
    if not (parts.by_month or parts.by_month_day or parts.by_day):
        return DayPattern(start=start.toordinal(), interval=parts.interval)
    # One day is the whole period: every position but 1 and -1 lies outside it.
    months = parts.by_month
    if parts.by_set_pos and not {1, -1} & set(parts.by_set_pos):
        raise InputError("BYSETPOS", "a day has but one date: only 1 and -1 name it")
    return FilteredDayPattern(
        start=start.toordinal(),
        interval=parts.interval,
        months=frozenset(months),
        month_days=frozenset(parts.by_month_day),
        weekdays=frozenset(day for day, _ in parts.by_day),
    )


def _week_pattern(parts: RuleParts, start: date) -> Pattern:
    weekdays = [day for day, _ in parts.by_day] or [start.weekday()]
    offsets = sorted((day - parts.week_start) % 7 for day in weekdays)
    if parts.by_set_pos and not parts.by_month:
        size = len(offsets)
        wanted = {at - 1 if at > 0 else size + at for at in parts.by_set_pos}
        offsets = [offset for index, offset in enumerate(offsets) if index in wanted]
        if not offsets:
            raise InputError("BYSETPOS", f"a week of this rule has {size} dates only")
    begins = start.toordinal()
    return WeekPattern(
        start=begins,
        interval=parts.interval,
        first_week=begins - (start.weekday() - parts.week_start) % 7,
        offsets=tuple(offsets),
        months=frozenset(parts.by_month),
        positions=parts.by_set_pos,
    )


def _with_days_of_year(parts: RuleParts, start: date) -> RuleParts:
    """Return the parts with the days that a yearly rule takes from its start written out."""
    if parts.by_year_day or parts.by_month_day or parts.by_day:
        return parts
    if parts.by_week_no:
        return replace(parts, by_day=((start.weekday(), 0),))
    return replace(parts, by_month=parts.by_month or (start.month,), by_month_day=(start.day,))


def _last_of(pattern: Pattern, first: int, count: int) -> int:
    """Return the ordinal of the `count`-th date from `first` on, or the last ordinal there is."""
    low, span = first, 400
    while low <= _MAX_ORDINAL:
        high = min(low + span, _MAX_ORDINAL)
        found = pattern.scan(low, high)
        if len(found) >= count:
            return found[count - 1]
        count -= len(found)
        low, span = high + 1, span * 2
    return _MAX_ORDINAL


def _gap_days(parts: RuleParts, pattern: Pattern, first: int) -> int:
    """Return the smallest gap between the first dates, ends of the rule left aside."""
    if isinstance(pattern, DayPattern):
        return pattern.interval
    gaps = []
    before = first
    for _ in range(3):
        high = min(before + _FIRST_WITHIN_DAYS, _MAX_ORDINAL)
        at = pattern.first(before + 1, high) if before < high else None
        if at is None:
            break
        gaps.append(at - before)
        before = at
    return min(gaps, default=parts.interval * _NOMINAL_DAYS[parts.frequency])


_NOMINAL_DAYS = {
    Frequency.DAILY: 1,
    Frequency.WEEKLY: 7,
    Frequency.MONTHLY: 30,
    Frequency.YEARLY: 365,
}


def _narrowest(parts: RuleParts) -> str:
    """Return the name of the part that leaves the fewest dates, to point the person at."""
    written = (
        ("BYSETPOS", parts.by_set_pos),
        ("BYYEARDAY", parts.by_year_day),
        ("BYWEEKNO", parts.by_week_no),
        ("BYMONTHDAY", parts.by_month_day),
        ("BYDAY", parts.by_day),
        ("BYMONTH", parts.by_month),
    )
    return next((name for name, values in written if values), "UNTIL" if parts.until else "FREQ")
