"""What each fact adds to the two views of money: *paid* and *used*.

Every fact is one of a few shapes. `monthly_contributions` says what it adds to each month, and
`contributions_between` what it adds to a run of days such as a season; both come from the same
running total, so months, seasons and single days always add up to each other.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import TYPE_CHECKING, NamedTuple

from tubcare.errors import InputError
from tubcare.ledger.money import check_minor
from tubcare.ledger.months import YearMonth, check_range, month_of
from tubcare.ledger.power_spread import spread_by_month, spread_through
from tubcare.ledger.write_off import WriteOff

if TYPE_CHECKING:
    from datetime import date

_ONE_DAY = timedelta(days=1)


class View(StrEnum):
    """Which question a sum of money answers."""

    PAID = "paid"
    """What left the wallet."""
    USED = "used"
    """What the tub consumed."""


class MonthAmount(NamedTuple):
    """What a fact adds to one month of one view; never 0."""

    view: View
    month: YearMonth
    minor: int


class ViewAmounts(NamedTuple):
    """What a fact adds to both views over a run of days."""

    paid_minor: int
    used_minor: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StockPurchase:
    """Bought for the shelf: paid now, used when it leaves the shelf."""

    on: date
    minor: int

    def __post_init__(self) -> None:
        """Refuse an amount that cannot be right."""
        check_minor("minor", self.minor)


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRefund:
    """Money that came back for a stock purchase.

    `minor` is what came back, positive. `used_minor` is what the replay of the supply booked on
    the refund: 0 when the shelf simply is worth less now.
    """

    on: date
    minor: int
    used_minor: int = 0

    def __post_init__(self) -> None:
        """Refuse an amount that cannot be right."""
        check_minor("minor", self.minor)


@dataclass(frozen=True, slots=True, kw_only=True)
class StockOutflow:
    """Stock that was used, expired or found missing: its cost by the replay, nothing paid.

    The cost is negative when a stock-take found more.
    """

    on: date
    minor: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectSpend:
    """Paid and used at once: a repair, a part, a service, a charge for water.

    A refund of any of these, and of power, is the same with `minor` below zero.
    """

    on: date
    minor: int

    def __post_init__(self) -> None:
        """Refuse an amount that cannot be right."""
        check_minor("minor", abs(self.minor))


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerCharge:
    """Power between two readings: paid whole on the second, used evenly by day since the first."""

    from_on: date
    on: date
    minor: int

    def __post_init__(self) -> None:
        """Refuse an amount or days that cannot be right."""
        check_minor("minor", self.minor)
        check_range(self.from_on, self.on)


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildCost:
    """Part of the tub itself: paid once, used by month."""

    write_off: WriteOff


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildRefund:
    """Money that came back for part of the build: used over what is left of its life.

    `minor` is what came back, positive; `realised_minor` the part of it that only brings in the
    rest value that was never written off (the sale of the old chiller), so it lowers no use.
    """

    on: date
    minor: int
    build: WriteOff
    realised_minor: int = 0

    def __post_init__(self) -> None:
        """Refuse an amount or a day that cannot be right."""
        check_minor("minor", self.minor)
        highest = min(self.minor, self.build.salvage_minor)
        check_minor("realised_minor", self.realised_minor, 0, highest)
        if self.on < self.build.on:
            raise InputError("date", f"{self.on} lies before the purchase of {self.build.on}")

    @property
    def write_off(self) -> WriteOff:
        """The refund as a negative write-off: to the planned end, or all at once after it."""
        planned = month_of(self.build.on).plus(self.build.months - 1)
        left = planned.ordinal - month_of(self.on).ordinal + 1
        ended = self.build.ended_on
        return WriteOff(
            on=self.on,
            minor=self.realised_minor - self.minor,
            months=max(1, left),
            ended_on=self.on if left < 1 else None if ended is None else max(ended, self.on),
        )


MoneyFact = (
    StockPurchase
    | StockRefund
    | StockOutflow
    | DirectSpend
    | PowerCharge
    | BuildCost
    | BuildRefund
)


def monthly_contributions(fact: MoneyFact) -> tuple[MonthAmount, ...]:
    """Return what a fact adds to each month of both views, leaving out zeros."""
    day, paid = _paid(fact)
    amounts = [MonthAmount(View.PAID, month_of(day), paid)]
    match fact:
        case PowerCharge():
            used = spread_by_month(fact.minor, after=fact.from_on, until=fact.on)
        case BuildCost() | BuildRefund():
            used = fact.write_off.by_month()
        case _:
            used = ((month_of(day), _used_at_once(fact)),)
    amounts += [MonthAmount(View.USED, month, minor) for month, minor in used]
    return tuple(amount for amount in amounts if amount.minor)


def contributions_between(fact: MoneyFact, first: date, last: date) -> ViewAmounts:
    """Return what a fact adds to both views on the days first..last, both counted.

    Raises
    ------
    InputError
        If `last` lies before `first`.
    """
    check_range(first, last)
    day, paid = _paid(fact)
    inside = first <= day <= last
    match fact:
        case PowerCharge():
            used = _spread_between(fact, first, last)
        case BuildCost() | BuildRefund():
            used = _written_between(fact.write_off, first, last)
        case _:
            used = _used_at_once(fact) if inside else 0
    return ViewAmounts(paid if inside else 0, used)


def used_days(fact: MoneyFact) -> tuple[date, date]:
    """Return the first and the last day on which a fact adds to the *used* view."""
    match fact:
        case PowerCharge():
            return fact.from_on, fact.on
        case BuildCost() | BuildRefund():
            return fact.write_off.on, fact.write_off.last_day
        case _:
            return fact.on, fact.on


def _paid(fact: MoneyFact) -> tuple[date, int]:
    match fact:
        case BuildCost():
            return fact.write_off.on, fact.write_off.minor
        case StockRefund() | BuildRefund():
            return fact.on, -fact.minor
        case StockOutflow():
            return fact.on, 0
        case _:
            return fact.on, fact.minor


def _used_at_once(fact: StockPurchase | StockRefund | StockOutflow | DirectSpend) -> int:
    match fact:
        case StockPurchase():
            return 0
        case StockRefund():
            return fact.used_minor
        case _:
            return fact.minor


def _spread_between(fact: PowerCharge, first: date, last: date) -> int:
    def through(day: date) -> int:
        return spread_through(fact.minor, after=fact.from_on, until=fact.on, day=day)

    return through(last) - through(first - _ONE_DAY)


def _written_between(write_off: WriteOff, first: date, last: date) -> int:
    return write_off.written_through(last) - write_off.written_through(first - _ONE_DAY)
