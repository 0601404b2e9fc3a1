"""A charge spread evenly by day between two meter readings.

A day's part is the rounded amount up to that day less the rounded amount up to the day before. So
the parts of any run of days add up to the part of the run, all of them add up to the amount, and
every run (a day, a month, a season) is within one minor unit of its exact share. Handing out the
remainder to the first days would keep the days fair but pile it up in the first month.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.ledger.money import divide_half_even
from tubcare.ledger.months import YearMonth, months_between

if TYPE_CHECKING:
    from datetime import date


def spread_through(minor: int, *, after: date, until: date, day: date) -> int:
    """Return the part of an amount that falls on days up to and with `day`.

    The amount is spread over the days after `after` (the reading before) up to and with `until`
    (the reading that charges it). Readings on one day put it all on that day.

    Raises
    ------
    InputError
        If `until` lies before `after`.
    """
    if until < after:
        raise InputError("date range", f"the reading of {until} lies before that of {after}")
    if day >= until:
        return minor
    if day <= after:
        return 0
    return divide_half_even(minor * (day - after).days, (until - after).days)


def spread_by_month(minor: int, *, after: date, until: date) -> tuple[tuple[YearMonth, int], ...]:
    """Return what falls in each month from `after` to `until`; the parts add up to the amount."""
    parts = []
    done = 0
    for month in months_between(after, until):
        through = spread_through(minor, after=after, until=until, day=month.last_day)
        parts.append((month, through - done))
        done = through
    return tuple(parts)
