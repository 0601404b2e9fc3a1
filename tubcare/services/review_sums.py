"""The sums that a review is made of: whole months from the totals, edges from the facts."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from sqlalchemy import case, func, select

from tubcare.ledger.budget import prorated
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.months import month_of
from tubcare.ledger.review_model import GroupedRow, Period, PeriodFacts, TaskCount
from tubcare.services import periods
from tubcare.services.span_shares import shares_between
from tubcare.services.totals_cache import category_of
from tubcare.store.tables import (
    BudgetRow,
    CompletionRow,
    DipRow,
    MonthTotalRow,
)
from tubcare.store.unit import table_of
from tubcare.values import TaskId

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.services.running_costs import WriteOffToCome


def period_facts(
    connection: Connection, period: Period, today: date, to_come: WriteOffToCome
) -> PeriodFacts:
    """Return what a period cost up to today, grouped, and how much the tubs were used."""
    dip = table_of(DipRow)
    dips = connection.execute(
        select(func.coalesce(func.sum(dip.c.dips), 0)).where(
            dip.c.on_date >= period.first, dip.c.on_date <= period.last
        )
    ).scalar_one()
    paid, used = _grouped(connection, period)
    return PeriodFacts(
        period=period,
        paid=paid,
        used=[*used, *to_come.not_yet],
        open_days=periods.open_days(connection, period, today),
        dips=int(dips),
    )


def period_budgets(connection: Connection, period: Period) -> dict[SpendCategory, int]:
    """Return what a period may cost: a year's budgets, or their share of a season."""
    table = table_of(BudgetRow)
    by_year: dict[int, dict[SpendCategory, int]] = {}
    for row in connection.execute(
        select(table.c.year, table.c.category, table.c.minor).where(
            table.c.year >= period.first.year, table.c.year <= period.last.year
        )
    ):
        by_year.setdefault(row.year, {})[SpendCategory(row.category)] = row.minor
    return prorated(by_year, period.first, period.last)


def task_counts(
    connection: Connection, period: Period, overdue: Iterable[TaskId]
) -> list[TaskCount]:
    """Return how often each task was done, and how often it was not.

    Missed are dates that were skipped, dates that passed unseen, and what is `overdue` still.
    """
    table = table_of(CompletionRow)
    done = func.sum(case((table.c.outcome == "done", 1), else_=0))
    skipped = func.sum(case((table.c.outcome == "skipped", 1), else_=0))
    rows = connection.execute(
        select(table.c.task_id, done, skipped, func.sum(table.c.missed))
        .where(table.c.on_date >= period.first, table.c.on_date <= period.last)
        .group_by(table.c.task_id)
    )
    counts = {
        TaskId(task): (int(did), int(left) + int(missed)) for task, did, left, missed in rows
    }
    for task in overdue:
        did, missed = counts.get(task, (0, 0))
        counts[task] = (did, missed + 1)
    return [
        TaskCount(task=task, done=did, missed=missed) for task, (did, missed) in counts.items()
    ]


def _grouped(connection: Connection, period: Period) -> tuple[list[GroupedRow], list[GroupedRow]]:
    """Return whole months from the totals, and the months at the edges from the facts."""
    table = table_of(MonthTotalRow)
    rows: dict[str, list[GroupedRow]] = {"paid": [], "used": []}
    whole_first, whole_last = whole_months(period)
    for view, month, category, task, tub, minor in connection.execute(
        select(
            table.c.view,
            table.c.month,
            table.c.category,
            table.c.task_id,
            table.c.tub_id,
            table.c.minor,
        ).where(table.c.month >= whole_first, table.c.month <= whole_last)
    ):
        rows[view].append((task, category, tub, month // 12, month % 12 + 1, minor))
    for first, last in _edges(period, whole_first, whole_last):
        _add_edge(connection, rows, first, last)
    return rows["paid"], rows["used"]


def whole_months(period: Period) -> tuple[int, int]:
    """Return the first and the last month that lie in a period whole, counted from the year 0."""
    first = period.first.year * 12 + period.first.month - 1
    last = period.last.year * 12 + period.last.month - 1
    starts_whole = period.first.day == 1
    ends_whole = (period.last + timedelta(days=1)).day == 1
    return (first if starts_whole else first + 1), (last if ends_whole else last - 1)


def _edges(period: Period, whole_first: int, whole_last: int) -> list[tuple[date, date]]:
    first_month = month_of(period.first)
    last_month = month_of(period.last)
    if first_month == last_month:
        return [] if whole_first <= whole_last else [(period.first, period.last)]
    edges = []
    if whole_first > period.first.year * 12 + period.first.month - 1:
        edges.append((period.first, first_month.last_day))
    if whole_last < period.last.year * 12 + period.last.month - 1:
        edges.append((last_month.first_day, period.last))
    return edges


def _add_edge(
    connection: Connection, rows: dict[str, list[GroupedRow]], first: date, last: date
) -> None:
    for share in shares_between(connection, first, last):
        image = share.image
        category = category_of(connection, share.table, image)
        key = (image["task_id"], category, image["tub_id"])
        for view, minor in (
            ("paid", share.amounts.paid_minor),
            ("used", share.amounts.used_minor),
        ):
            if minor:
                rows[view].append((*key, first.year, first.month, minor))
