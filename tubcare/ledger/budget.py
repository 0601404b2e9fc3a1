"""What a period was allowed to cost, against what it cost and will likely cost."""

from __future__ import annotations

from calendar import isleap
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.money import check_minor, divide_half_even
from tubcare.ledger.months import check_range

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetLine:
    """One category, or all of them. `budget_minor` is None where nothing was set."""

    category: SpendCategory | None
    budget_minor: int | None
    actual_minor: int
    expected_minor: int

    @property
    def forecast_minor(self) -> int:
        """What the period will likely cost: so far and still expected."""
        return self.actual_minor + self.expected_minor

    @property
    def left_minor(self) -> int | None:
        """What of the budget is not spent yet; negative when overspent."""
        return None if self.budget_minor is None else self.budget_minor - self.actual_minor

    @property
    def forecast_left_minor(self) -> int | None:
        """What of the budget will likely be left at the end; negative when overspent."""
        return None if self.budget_minor is None else self.budget_minor - self.forecast_minor


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetTable:
    """Every category that has a budget or an amount, and their sum.

    The sum compares like with like: `total` covers the categories with a budget, `without_budget`
    the others.
    """

    lines: tuple[BudgetLine, ...]
    total: BudgetLine
    without_budget: BudgetLine


def compare_with_budget(
    *,
    budgets: Mapping[SpendCategory, int],
    actual: Mapping[SpendCategory, int],
    expected: Mapping[SpendCategory, int],
) -> BudgetTable:
    """Return budget, actual and forecast by category, in the order of the categories.

    Raises
    ------
    OutOfRangeError
        If a budget is negative or absurd.
    """
    for minor in budgets.values():
        check_minor("budget_minor", minor)
    lines = tuple(
        BudgetLine(
            category=category,
            budget_minor=budgets.get(category),
            actual_minor=actual.get(category, 0),
            expected_minor=expected.get(category, 0),
        )
        for category in SpendCategory
        if category in budgets or actual.get(category) or expected.get(category)
    )
    planned = [line for line in lines if line.budget_minor is not None]
    others = [line for line in lines if line.budget_minor is None]
    return BudgetTable(
        lines=lines,
        total=_sum(planned, sum(budgets.values()) if budgets else None),
        without_budget=_sum(others, None),
    )


def prorated(
    by_year: Mapping[int, Mapping[SpendCategory, int]], first: date, last: date
) -> dict[SpendCategory, int]:
    """Return what yearly budgets allow on the days first..last, both counted.

    Each year gives its share by days, rounded once half even. A year of the period in which a
    category has no budget takes that of the nearest year of the period which has one, the earlier
    of two; so a season that runs into a year not yet planned is still measured whole.

    Raises
    ------
    OutOfRangeError
        If a budget is negative or absurd.
    InputError
        If `last` lies before `first`.
    """
    check_range(first, last)
    years = range(first.year, last.year + 1)
    categories = {category for year in years for category in by_year.get(year, {})}
    found = {}
    for category in sorted(categories, key=list(SpendCategory).index):
        share = Fraction(0)
        for year in years:
            minor = check_minor("budget_minor", _budget_of(by_year, category, year, years))
            days = (min(last, date(year, 12, 31)) - max(first, date(year, 1, 1))).days + 1
            share += Fraction(minor * days, 366 if isleap(year) else 365)
        found[category] = divide_half_even(share.numerator, share.denominator)
    return found


def _budget_of(
    by_year: Mapping[int, Mapping[SpendCategory, int]],
    category: SpendCategory,
    year: int,
    years: Iterable[int],
) -> int:
    known = [each for each in years if category in by_year.get(each, {})]
    nearest = min(known, key=lambda each: (abs(each - year), each))
    return by_year[nearest][category]


def _sum(lines: list[BudgetLine], budget: int | None) -> BudgetLine:
    return BudgetLine(
        category=None,
        budget_minor=budget,
        actual_minor=sum(line.actual_minor for line in lines),
        expected_minor=sum(line.expected_minor for line in lines),
    )
