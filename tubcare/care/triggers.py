"""What makes a task due."""

from __future__ import annotations

import calendar
import math
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tubcare.care.recurrence import Rule, compile_rule
from tubcare.care.terms import Period
from tubcare.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from tubcare.care.condition import Condition
    from tubcare.care.terms import Counter, Edge

_FIRST_YEAR, _LAST_YEAR = 1900, 2200
_LONGEST = {Period.DAY: 18_262, Period.WEEK: 2_600, Period.MONTH: 600, Period.YEAR: 50}
_DAYS = {Period.DAY: 1.0, Period.WEEK: 7.0, Period.MONTH: 30.436875, Period.YEAR: 365.2425}


def check_day(name: str, day: date) -> None:
    """Raise InputError for a date that no upkeep can be planned on."""
    if not _FIRST_YEAR <= day.year <= _LAST_YEAR:
        raise InputError(name, f"{day} lies outside the years {_FIRST_YEAR} to {_LAST_YEAR}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """A number of days, weeks, months or years, at most 50 years.

    `days` is its mean length, `fixed_days` its exact length, 0 for months and years.
    """

    count: int
    period: Period
    days: float = field(init=False, compare=False, repr=False)
    fixed_days: int = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        longest = _LONGEST[self.period]
        if not 1 <= self.count <= longest:
            raise OutOfRangeError("count", self.count, 1, longest)
        fixed = {Period.DAY: 1, Period.WEEK: 7}.get(self.period, 0)
        object.__setattr__(self, "days", self.count * _DAYS[self.period])
        object.__setattr__(self, "fixed_days", self.count * fixed)

    def after(self, day: date, times: int = 1, *, anchor_day: int | None = None) -> date:
        """Return the date `times` intervals after `day`.

        Months and years keep the day of the month (`anchor_day`, else the day of `day`) and clamp
        it to the end of short months, so that repeated steps from one anchor never drift.
        """
        if self.fixed_days:
            return day + timedelta(days=self.fixed_days * times)
        steps = self.count * times
        months = day.year * 12 + day.month - 1 + steps * (12 if self.period is Period.YEAR else 1)
        year, month = months // 12, months % 12 + 1
        wanted = anchor_day or day.day
        # No month is shorter than 28 days; only later days need its length.
        return date(
            year,
            month,
            wanted if wanted <= 28 else min(wanted, calendar.monthrange(year, month)[1]),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarTrigger:
    """On set dates: an RFC 5545 recurrence rule over local dates, from `start` on.

    A rule that cannot be used raises InputError naming its part.
    """

    rule: str
    start: date
    compiled: Rule = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        check_day("start", self.start)
        object.__setattr__(self, "compiled", compile_rule(self.rule, self.start))


@dataclass(frozen=True, slots=True, kw_only=True)
class ElapsedTrigger:
    """So long after the last time (or after the season's opening)."""

    every: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class UseTrigger:
    """After so much use since the last time; `amount` in the counter's own unit."""

    counter: Counter
    amount: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.amount) and 0 < self.amount <= 1e9):
            raise OutOfRangeError("amount", self.amount, 0, 1e9)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonTrigger:
    """So many days before (negative) or after an edge of the season.

    `risk_percent` chooses among the frost dates of the tub's site; None takes the site's first.
    """

    edge: Edge
    offset_days: int = 0
    risk_percent: int | None = None

    def __post_init__(self) -> None:
        if not -183 <= self.offset_days <= 183:
            raise OutOfRangeError("offset_days", self.offset_days, -183, 183)
        if self.risk_percent is not None and not 1 <= self.risk_percent <= 99:
            raise OutOfRangeError("risk_percent", self.risk_percent, 1, 99)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTrigger:
    """When the newest reading asks for it."""

    condition: Condition


@dataclass(frozen=True, slots=True, kw_only=True)
class OnceTrigger:
    """On one date."""

    on: date

    def __post_init__(self) -> None:
        check_day("on", self.on)


Trigger = (
    CalendarTrigger | ElapsedTrigger | UseTrigger | SeasonTrigger | ReadingTrigger | OnceTrigger
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """How far from its due date work still counts, instead of 10 % and 25 % of the interval.

    Work within `on_time_days` of the due date (before or after) is on time; later it is late, and
    past `overdue_days` overdue.
    """

    on_time_days: int
    overdue_days: int

    def __post_init__(self) -> None:
        if not 0 <= self.on_time_days <= 366:
            raise OutOfRangeError("on_time_days", self.on_time_days, 0, 366)
        if not self.on_time_days <= self.overdue_days <= 3_660:
            raise InputError("overdue_days", "overdue cannot begin before late does")
