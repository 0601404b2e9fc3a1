"""What a period was allowed to cost, against what it cost and will likely cost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.money import check_minor, divide_half_even

if TYPE_CHECKING:
    from collections.abc import Mapping


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

    @property
    def spent_percent(self) -> int | None:
        """How much of the budget is spent, in whole percent; None without a budget above 0."""
        if not self.budget_minor:
            return None
        return divide_half_even(100 * self.actual_minor, self.budget_minor)


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


def _sum(lines: list[BudgetLine], budget: int | None) -> BudgetLine:
    return BudgetLine(
        category=None,
        budget_minor=budget,
        actual_minor=sum(line.actual_minor for line in lines),
        expected_minor=sum(line.expected_minor for line in lines),
    )
