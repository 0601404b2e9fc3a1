"""Straight-line write-off of what the tub cost to build, on whole minor units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.money import check_minor, divide_half_even
from tubcare.ledger.months import YearMonth, month_of, months_between

if TYPE_CHECKING:
    from datetime import date

MAX_MONTHS = 1200


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteOff:
    """An amount used up by month, counting from the month in which it was paid.

    Month i of n takes round(base * i / n) - round(base * (i - 1) / n), where the base is the
    amount less its rest value, so the months add up to the base. Within a month it is used evenly
    by day, in the first month from the day of payment. What ends early writes off the rest of the
    base on its last day.

    Parameters
    ----------
    minor
        What was paid, negative for money that came back.
    months
        Length of its life. 1..1200
    salvage_minor
        What it will still be worth at the end. 0..`minor`; 0 for money that came back.
    ended_on
        The day on which it was scrapped or replaced, None while in use.
    """

    on: date
    minor: int
    months: int
    salvage_minor: int = 0
    ended_on: date | None = None

    def __post_init__(self) -> None:
        """Refuse a life, a rest value or an end that cannot be right."""
        check_minor("minor", abs(self.minor))
        check_minor("salvage_minor", self.salvage_minor, 0, max(0, self.minor))
        if not 1 <= self.months <= MAX_MONTHS:
            raise OutOfRangeError("months", self.months, 1, MAX_MONTHS)
        if self.ended_on is not None and self.ended_on < self.on:
            raise InputError("ended_on", f"{self.ended_on} lies before {self.on}")

    @property
    def base_minor(self) -> int:
        """What is written off over the whole life."""
        return self.minor - self.salvage_minor

    @property
    def last_day(self) -> date:
        """The day after which nothing is left to write off."""
        planned = month_of(self.on).plus(self.months - 1).last_day
        return planned if self.ended_on is None else min(planned, self.ended_on)

    def written_through(self, day: date) -> int:
        """Return what has been written off up to and with a day."""
        if day < self.on:
            return 0
        if day >= self.last_day:
            return self.base_minor
        month = month_of(day)
        number = month.ordinal - month_of(self.on).ordinal
        before = divide_half_even(self.base_minor * number, self.months)
        part = divide_half_even(self.base_minor * (number + 1), self.months) - before
        first = max(month.first_day, self.on)
        days = (month.last_day - first).days + 1
        return before + divide_half_even(part * ((day - first).days + 1), days)

    def by_month(self) -> tuple[tuple[YearMonth, int], ...]:
        """Return what each month of its life takes; the parts add up to the base."""
        parts = []
        done = 0
        for month in months_between(self.on, self.last_day):
            through = self.written_through(month.last_day)
            parts.append((month, through - done))
            done = through
        return tuple(parts)
