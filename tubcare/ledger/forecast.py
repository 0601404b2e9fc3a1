"""What the rest of a year or season is likely to cost."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from tubcare.ledger.money import check_minor
from tubcare.ledger.months import YearMonth, month_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from tubcare.ledger.categories import SpendCategory
    from tubcare.values import TaskId


class ExpectedCost(NamedTuple):
    """What one coming occurrence, or a running cost, will likely add on a day."""

    on: date
    category: SpendCategory
    minor: int
    task: TaskId | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What a period has cost so far and what is still to come by its last day.

    `by_category` and `by_month` hold the expected part alone; each adds up to `expected_minor`.
    """

    actual_minor: int
    expected_minor: int
    by_category: Mapping[SpendCategory, int]
    by_month: Mapping[YearMonth, int]

    @property
    def total_minor(self) -> int:
        """What the whole period will likely cost."""
        return self.actual_minor + self.expected_minor


def forecast(
    actual_minor: int, expected: Iterable[ExpectedCost], *, today: date, last: date
) -> Forecast:
    """Return the forecast to the end of a period, that is to `last`.

    What was due before today and is not done yet counts as coming today; what comes after `last`
    belongs to the next period.

    Raises
    ------
    OutOfRangeError
        If an expected cost is negative or absurd.
    """
    by_category: Counter[SpendCategory] = Counter()
    by_month: Counter[YearMonth] = Counter()
    for cost in expected:
        on = max(cost.on, today)
        if on > last:
            continue
        check_minor("minor", cost.minor)
        by_category[cost.category] += cost.minor
        by_month[month_of(on)] += cost.minor
    return Forecast(
        actual_minor=actual_minor,
        expected_minor=by_category.total(),
        by_category=dict(by_category),
        by_month=dict(sorted(by_month.items())),
    )
