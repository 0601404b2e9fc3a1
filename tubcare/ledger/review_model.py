"""What a review of a year or season is made of, and what it says."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.errors import OutOfRangeError
from tubcare.ledger.months import YearMonth, check_range, months_between

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from tubcare.ledger.budget import BudgetTable
    from tubcare.ledger.categories import SpendCategory
    from tubcare.ledger.contributions import View
    from tubcare.ledger.forecast import ExpectedCost, Forecast
    from tubcare.values import TaskId, TubId

MONTHS_A_YEAR = 12
GroupedRow = tuple[int | None, str, int | None, int, int, int]
"""Task, category, tub, year, month, minor units; a task or tub of None or 0 means none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """A calendar year or a season; both days belong to it."""

    first: date
    last: date

    def __post_init__(self) -> None:
        """Refuse a period that ends before it starts."""
        check_range(self.first, self.last)

    @property
    def months(self) -> tuple[YearMonth, ...]:
        """Every month that has a day in the period."""
        return tuple(months_between(self.first, self.last))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """The same amounts summed two ways by the store, which is quicker at it.

    `tasks` holds task, tub, month (`YearMonth.ordinal`) and minor units, `categories` category,
    month and minor units; a task or tub of None or 0 means none.
    """

    tasks: Iterable[tuple[int | None, int | None, int, int]] = ()
    categories: Iterable[tuple[str, int, int]] = ()


NO_SUMS = Sums()


@dataclass(frozen=True, slots=True, kw_only=True)
class PeriodFacts:
    """What a period cost by the store's groups, and how much the tub was used.

    The sums and the rows, which count beside them, lie in the period; where it starts or ends
    inside a month, that month's rows hold only the days of the period.
    """

    period: Period
    paid: Iterable[GroupedRow]
    used: Iterable[GroupedRow]
    paid_sums: Sums = NO_SUMS
    used_sums: Sums = NO_SUMS
    open_days: int = 0
    dips: int = 0

    def __post_init__(self) -> None:
        """Refuse negative counts."""
        for name, value in (("open_days", self.open_days), ("dips", self.dips)):
            if value < 0:
                raise OutOfRangeError(name, value, 0, float("inf"))


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskCount:
    """How often a task was done in the period, and how often it fell due and was not."""

    task: TaskId
    done: int = 0
    missed: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskLine:
    """One row of the task by month table; `task` is None for what belongs to none.

    `before_minor` is None where there is no period before.
    """

    task: TaskId | None
    by_month: tuple[int, ...]
    minor: int
    before_minor: int | None
    done: int
    missed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CategoryLine:
    """One row of the category by month table."""

    category: SpendCategory
    by_month: tuple[int, ...]
    minor: int
    before_minor: int | None

    @property
    def change_minor(self) -> int | None:
        """The change on the period before."""
        return None if self.before_minor is None else self.minor - self.before_minor


@dataclass(frozen=True, slots=True, kw_only=True)
class TubLine:
    """What one tub cost; `tub` is None for what belongs to none."""

    tub: TubId | None
    minor: int
    before_minor: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewTotal:
    """What a period cost in one view, and per open day and dip; None where there were none."""

    minor: int
    per_open_day_minor: int | None
    per_dip_minor: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewReview:
    """One view of the period. Every table adds up to `total.minor`, and month by month too.

    `before` and every `before_minor` compare like with like: of a period that runs, with as many
    days of the one before. `before_by_month` and `before_whole_minor` are all of it.
    """

    view: View
    tasks: tuple[TaskLine, ...]
    categories: tuple[CategoryLine, ...]
    tubs: tuple[TubLine, ...]
    by_month: tuple[int, ...]
    before_by_month: tuple[int, ...] | None
    total: ViewTotal
    before: ViewTotal | None
    before_whole_minor: int | None
    budget: BudgetTable
    forecast: Forecast

    @property
    def change_minor(self) -> int | None:
        """The change on the period before."""
        return None if self.before is None else self.total.minor - self.before.minor

    def beside(self, review: YearReview) -> tuple[int | None, ...] | None:
        """Return for each month what the same month of the period before cost.

        None stands for a month that the period before does not have; None in all when there is no
        period before. "The same month" is one year earlier, or as many whole years as lie between
        the two periods.
        """
        if review.before is None or self.before_by_month is None:
            return None
        earlier = review.before.months
        between = review.months[0].ordinal - earlier[0].ordinal
        back = MONTHS_A_YEAR * max(1, round(between / MONTHS_A_YEAR))
        known = {
            month.ordinal: minor
            for month, minor in zip(earlier, self.before_by_month, strict=True)
        }
        return tuple(known.get(month.ordinal - back) for month in review.months)


@dataclass(frozen=True, slots=True, kw_only=True)
class YearReview:
    """The review of a calendar year or a season."""

    period: Period
    before: Period | None
    months: tuple[YearMonth, ...]
    paid: ViewReview
    used: ViewReview
    open_days: int
    dips: int
    done: int
    missed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewInput:
    """All that a review is made of.

    `budgets` holds for the whole period; `expected` are the costs of what is still to come, of
    which only those to the end of the period count. `expected_paid` and `expected_used` are those
    that one view alone has: stock that has to be bought, stock that is taken and the write-off.
    `before_so_far` holds as many days of the period before as have passed of one that runs; all
    comparisons use it in place of `before`, so that they compare like with like.
    """

    facts: PeriodFacts
    before: PeriodFacts | None
    today: date
    before_so_far: PeriodFacts | None = None
    budgets: Mapping[SpendCategory, int]
    expected: Sequence[ExpectedCost] = ()
    expected_paid: Sequence[ExpectedCost] = ()
    expected_used: Sequence[ExpectedCost] = ()
    counts: Sequence[TaskCount] = ()
