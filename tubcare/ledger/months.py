"""Calendar months as values: the columns of every review."""

from __future__ import annotations

from calendar import monthrange
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from tubcare.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Iterator


class YearMonth(NamedTuple):
    """A calendar month of a year; sorts by time."""

    year: int
    month: int

    @property
    def ordinal(self) -> int:
        """Months since the year 0, so that a difference counts months."""
        return self.year * 12 + self.month - 1

    @property
    def first_day(self) -> date:
        """The first day of the month."""
        return date(self.year, self.month, 1)

    @property
    def last_day(self) -> date:
        """The last day of the month."""
        return date(self.year, self.month, monthrange(self.year, self.month)[1])

    def plus(self, months: int) -> YearMonth:
        """Return the month so many months later (earlier when negative)."""
        return month_at(self.ordinal + months)


def month_of(day: date) -> YearMonth:
    """Return the month in which a day lies."""
    return YearMonth(day.year, day.month)


def month_at(ordinal: int) -> YearMonth:
    """Return the month that `YearMonth.ordinal` counts so."""
    return YearMonth(ordinal // 12, ordinal % 12 + 1)


def months_between(first: date, last: date) -> Iterator[YearMonth]:
    """Yield every month that has a day in first..last, in order; none when last is earlier."""
    if first <= last:
        yield from map(month_at, range(month_of(first).ordinal, month_of(last).ordinal + 1))


def check_range(first: date, last: date) -> None:
    """Raise `InputError` when a range of days ends before it starts."""
    if last < first:
        raise InputError("date range", f"it ends on {last}, before it starts on {first}")
