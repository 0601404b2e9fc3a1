"""The review: every table adds up to the same total."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tubcare.errors import InputError, OutOfRangeError
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.contributions import View
from tubcare.ledger.forecast import ExpectedCost
from tubcare.ledger.months import YearMonth
from tubcare.ledger.review import review
from tubcare.ledger.review_model import (
    GroupedRow,
    Period,
    PeriodFacts,
    ReviewInput,
    TaskCount,
    ViewReview,
)
from tubcare.values import TaskId

WINTER = Period(first=date(2025, 11, 15), last=date(2026, 3, 20))
YEAR = Period(first=date(2026, 1, 1), last=date(2026, 12, 31))
YEAR_BEFORE = Period(first=date(2025, 1, 1), last=date(2025, 12, 31))


def rows_in(period: Period) -> st.SearchStrategy[list[GroupedRow]]:
    return st.lists(
        st.tuples(
            st.none() | st.integers(0, 4),
            st.sampled_from([str(c) for c in SpendCategory]),
            st.none() | st.integers(0, 2),
            st.sampled_from(period.months),
            st.integers(-(10**6), 10**7),
        ).map(lambda r: (r[0], r[1], r[2], r[3].year, r[3].month, r[4])),
        max_size=30,
    )


def given_rows(
    paid: list[GroupedRow],
    used: list[GroupedRow],
    before: PeriodFacts | None = None,
    *,
    period: Period = YEAR,
    counts: tuple[TaskCount, ...] = (),
) -> ReviewInput:
    return ReviewInput(
        facts=PeriodFacts(period=period, paid=paid, used=used, open_days=180, dips=90),
        before=before,
        today=date(2026, 8, 1),
        budgets={SpendCategory.POWER: 10_000},
        expected=[ExpectedCost(date(2026, 9, 1), SpendCategory.POWER, 4000)],
        counts=counts,
    )


def adds_up(view: ViewReview) -> bool:
    by_month = [list(line.by_month) for line in view.tasks]
    by_category = [list(line.by_month) for line in view.categories]
    nothing = [0] * len(view.by_month)
    return [sum(column) for column in zip(nothing, *by_month, strict=True)] == [
        sum(column) for column in zip(nothing, *by_category, strict=True)
    ] == list(view.by_month) and sum(line.minor for line in view.tasks) == sum(
        line.minor for line in view.categories
    ) == sum(line.minor for line in view.tubs) == view.total.minor


@given(rows_in(YEAR), rows_in(YEAR), rows_in(YEAR_BEFORE))
def test_every_table_adds_up_to_the_same_total(
    paid: list[GroupedRow], used: list[GroupedRow], before: list[GroupedRow]
) -> None:
    old = PeriodFacts(period=YEAR_BEFORE, paid=before, used=[])
    result = review(given_rows(paid, used, old))
    assert adds_up(result.paid)
    assert adds_up(result.used)
    assert result.paid.total.minor == sum(row[5] for row in paid)
    assert result.used.total.minor == sum(row[5] for row in used)


@given(rows_in(YEAR), rows_in(YEAR_BEFORE))
def test_the_year_before_adds_up_by_task_category_and_tub(
    paid: list[GroupedRow], before: list[GroupedRow]
) -> None:
    old = PeriodFacts(period=YEAR_BEFORE, paid=before, used=[])
    view = review(given_rows(paid, [], old)).paid
    total = sum(row[5] for row in before)
    assert view.before is not None
    assert view.before.minor == total
    assert sum(line.before_minor or 0 for line in view.tasks) == total
    assert sum(line.before_minor or 0 for line in view.categories) == total
    assert sum(line.before_minor or 0 for line in view.tubs) == total
    assert sum(line.change_minor or 0 for line in view.categories) == view.change_minor


def test_a_season_over_new_year_has_its_months_in_order() -> None:
    rows: list[GroupedRow] = [(1, "power", 1, 2025, 12, 700), (1, "power", 1, 2026, 3, 300)]
    result = review(given_rows(rows, [], period=WINTER))
    assert result.months[0] == YearMonth(2025, 11)
    assert result.paid.by_month == (0, 700, 0, 0, 300)


def test_months_stand_beside_the_same_months_of_the_season_before() -> None:
    earlier = Period(first=date(2024, 12, 1), last=date(2025, 11, 14))
    rows: list[GroupedRow] = [(1, "power", 1, 2024, 12, 70), (1, "power", 1, 2025, 3, 30)]
    before = PeriodFacts(period=earlier, paid=rows, used=[])
    result = review(given_rows([], [], before, period=WINTER))
    # November 2024 lies before the season before; December 2024 stands beside December 2025.
    assert result.paid.beside(result) == (None, 70, 0, 0, 30)


def test_a_season_after_a_year_without_one_stands_beside_the_one_before_that() -> None:
    earlier = Period(first=date(2023, 11, 10), last=date(2024, 11, 9))
    before = PeriodFacts(period=earlier, paid=[(1, "power", 1, 2023, 12, 70)], used=[])
    result = review(given_rows([], [], before, period=WINTER))
    beside = result.paid.beside(result)
    assert beside is not None
    assert beside[1] == 70


def test_without_a_period_before_no_month_has_another_beside_it() -> None:
    result = review(given_rows([], []))
    assert result.paid.beside(result) is None


def test_the_write_off_to_come_counts_in_the_used_view_alone() -> None:
    given_ = replace(
        given_rows([], []),
        expected_used=[ExpectedCost(date(2026, 9, 1), SpendCategory.BUILD, 500)],
    )
    result = review(given_)
    assert (result.paid.forecast.expected_minor, result.used.forecast.expected_minor) == (
        4000,
        4500,
    )


def test_paid_and_used_stand_side_by_side() -> None:
    result = review(
        given_rows([(1, "filters", 1, 2026, 5, 3000)], [(1, "filters", 1, 2026, 6, 500)])
    )
    assert (result.paid.view, result.paid.total.minor) == (View.PAID, 3000)
    assert (result.used.view, result.used.total.minor) == (View.USED, 500)


def test_cost_per_open_day_and_per_dip_is_rounded_half_even() -> None:
    total = review(given_rows([(1, "power", 1, 2026, 5, 21_591)], [])).paid.total
    assert (total.per_open_day_minor, total.per_dip_minor) == (120, 240)


def test_without_open_days_or_dips_there_is_no_cost_per_any() -> None:
    empty = ReviewInput(
        facts=PeriodFacts(period=YEAR, paid=[], used=[]),
        before=None,
        today=date(2026, 8, 1),
        budgets={},
    )
    result = review(empty)
    assert result.paid.total.per_open_day_minor is None
    assert result.paid.total.per_dip_minor is None
    assert (result.paid.by_month, result.paid.tasks) == ((0,) * 12, ())


def test_tasks_come_dearest_first_and_what_has_no_task_last() -> None:
    rows: list[GroupedRow] = [
        (None, "tools", None, 2026, 5, 90_000),
        (0, "tools", 0, 2026, 6, 1),
        (1, "power", 1, 2026, 5, 300),
        (2, "power", 1, 2026, 5, 700),
    ]
    lines = review(given_rows(rows, [])).paid.tasks
    assert [(line.task, line.minor) for line in lines] == [(2, 700), (1, 300), (None, 90_001)]


def test_a_task_that_cost_nothing_still_says_how_often_it_was_done_and_missed() -> None:
    result = review(given_rows([], [], counts=(TaskCount(task=TaskId(3), done=9, missed=2),)))
    line = result.used.tasks[0]
    assert (line.task, line.minor, line.done, line.missed) == (3, 0, 9, 2)
    assert (result.done, result.missed) == (9, 2)


def test_without_a_year_before_nothing_is_compared() -> None:
    view = review(given_rows([(1, "power", 1, 2026, 5, 300)], [])).paid
    assert view.change_minor is None
    assert view.categories[0].change_minor is None
    assert view.before_by_month is None


def test_the_budget_is_set_against_the_forecast() -> None:
    view = review(given_rows([(1, "power", 1, 2026, 5, 7000)], [])).paid
    line = view.budget.lines[0]
    assert (line.left_minor, line.forecast_left_minor) == (3000, -1000)
    assert view.forecast.total_minor == 11_000


def test_a_row_outside_the_period_is_refused() -> None:
    with pytest.raises(InputError, match="2025-12"):
        review(given_rows([(1, "power", 1, 2025, 12, 1)], []))


def test_an_unknown_category_is_refused() -> None:
    with pytest.raises(InputError, match="category"):
        review(given_rows([(1, "snacks", 1, 2026, 5, 1)], []))


def test_a_period_that_ends_before_it_starts_is_refused() -> None:
    with pytest.raises(InputError):
        Period(first=date(2026, 2, 1), last=date(2026, 1, 1))


def test_negative_counts_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="dips"):
        PeriodFacts(period=YEAR, paid=[], used=[], dips=-1)
