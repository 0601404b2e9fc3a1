"""Budgets against what was spent, and what the rest of the season will likely cost."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.budget import compare_with_budget, prorated
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.forecast import (
    ExpectedCost,
    forecast,
)
from tubcare.ledger.months import YearMonth

FILTERS, POWER, WATER = SpendCategory.FILTERS, SpendCategory.POWER, SpendCategory.WATER
TODAY, CLOSES = date(2026, 8, 10), date(2026, 10, 31)
SUMS = st.dictionaries(st.sampled_from(SpendCategory), st.integers(0, 10**9))


def expected(on: date, minor: int) -> ExpectedCost:
    return ExpectedCost(on=on, category=FILTERS, minor=minor)


def test_what_is_still_to_come_is_added_by_month() -> None:
    coming = [expected(date(2026, 9, 1), 500), expected(CLOSES, 700)]
    rest = forecast(9000, coming, today=TODAY, last=CLOSES)
    assert (rest.expected_minor, rest.total_minor) == (1200, 10_200)
    assert rest.by_month == {YearMonth(2026, 9): 500, YearMonth(2026, 10): 700}


def test_what_is_late_still_counts_and_what_comes_after_the_end_does_not() -> None:
    coming = [expected(date(2026, 7, 1), 500), expected(date(2026, 11, 1), 700)]
    rest = forecast(0, coming, today=TODAY, last=CLOSES)
    assert rest.by_month == {YearMonth(2026, 8): 500}


def test_after_the_end_nothing_is_to_come() -> None:
    rest = forecast(0, [expected(TODAY, 500)], today=date(2026, 11, 5), last=CLOSES)
    assert rest.expected_minor == 0


def test_a_negative_expected_cost_is_refused() -> None:
    with pytest.raises(OutOfRangeError):
        forecast(0, [expected(TODAY, -1)], today=TODAY, last=CLOSES)


def test_a_line_says_what_is_left_now_and_at_the_end() -> None:
    table = compare_with_budget(
        budgets={POWER: 14_000}, actual={POWER: 10_500}, expected={POWER: 4000}
    )
    line = table.lines[0]
    assert (line.left_minor, line.forecast_left_minor) == (3500, -500)


def test_a_category_without_a_budget_is_shown_apart_from_the_sum() -> None:
    table = compare_with_budget(budgets={POWER: 100}, actual={POWER: 40, WATER: 9}, expected={})
    assert (table.total.budget_minor, table.total.actual_minor) == (100, 40)
    assert (table.without_budget.actual_minor, table.without_budget.left_minor) == (9, None)


def test_a_budget_without_any_amount_is_shown() -> None:
    table = compare_with_budget(budgets={POWER: 0}, actual={}, expected={})
    assert [line.category for line in table.lines] == [POWER]


def test_no_budget_at_all_has_no_sum() -> None:
    table = compare_with_budget(budgets={}, actual={WATER: 9}, expected={})
    assert table.total.budget_minor is None


def test_a_negative_budget_is_refused() -> None:
    with pytest.raises(OutOfRangeError):
        compare_with_budget(budgets={POWER: -1}, actual={}, expected={})


def test_a_whole_year_takes_its_budgets_as_they_are() -> None:
    budgets = {2026: {POWER: 14_001, FILTERS: 3000}, 2027: {POWER: 1}}
    found = prorated(budgets, date(2026, 1, 1), date(2026, 12, 31))
    assert found == {POWER: 14_001, FILTERS: 3000}


def test_a_season_takes_the_share_of_its_days_of_each_year() -> None:
    budgets = {2026: {POWER: 36_500}, 2027: {POWER: 73_000}}
    # 47 days of 2026 at 100 a day, 79 days of 2027 at 200 a day.
    found = prorated(budgets, date(2026, 11, 15), date(2027, 3, 20))
    assert found == {POWER: 47 * 100 + 79 * 200}


def test_a_leap_year_has_one_day_more_to_share() -> None:
    found = prorated({2028: {POWER: 36_600}}, date(2028, 2, 28), date(2028, 3, 1))
    assert found == {POWER: 300}


@pytest.mark.parametrize("known", [2026, 2027])
def test_a_year_not_planned_yet_goes_on_as_the_other_year_of_the_season(known: int) -> None:
    found = prorated({known: {POWER: 36_500}}, date(2026, 11, 15), date(2027, 3, 20))
    assert found == {POWER: 126 * 100}


def test_without_budgets_a_season_has_none() -> None:
    assert prorated({}, date(2026, 11, 15), date(2027, 3, 20)) == {}


def test_a_season_that_ends_before_it_starts_has_no_budget() -> None:
    with pytest.raises(InputError):
        prorated({}, date(2026, 2, 1), date(2026, 1, 1))


@given(st.integers(0, 10**9), st.integers(0, 364))
def test_the_parts_of_a_year_make_up_its_budget(minor: int, days: int) -> None:
    first, middle = date(2026, 1, 1), date(2026, 1, 1) + timedelta(days=days)
    parts = [prorated({2026: {POWER: minor}}, first, middle)[POWER]]
    if middle < date(2026, 12, 31):
        rest = middle + timedelta(days=1)
        parts.append(prorated({2026: {POWER: minor}}, rest, date(2026, 12, 31))[POWER])
    assert abs(sum(parts) - minor) <= 1


@given(SUMS, SUMS, SUMS)
def test_the_lines_add_up(
    budgets: dict[SpendCategory, int],
    actual: dict[SpendCategory, int],
    coming: dict[SpendCategory, int],
) -> None:
    table = compare_with_budget(budgets=budgets, actual=actual, expected=coming)
    total = table.total.forecast_minor + table.without_budget.forecast_minor
    assert total == sum(actual.values()) + sum(coming.values())
    assert total == sum(line.forecast_minor for line in table.lines)
