"""The sums that a review is made of: whole months from the totals, edges from the facts."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any, cast

from sqlalchemy import BigInteger, and_, bindparam, case, func, select
from sqlalchemy import cast as as_type

from tubcare.ledger.budget import prorated
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.contributions import View
from tubcare.ledger.months import month_of
from tubcare.ledger.review_model import GroupedRow, Period, PeriodFacts, Sums, TaskCount
from tubcare.services import periods
from tubcare.services.periods import of_tub
from tubcare.services.span_shares import shares_between
from tubcare.services.totals_cache import category_of
from tubcare.store.tables import (
    BudgetRow,
    CompletionRow,
    DipRow,
    MonthTotalRow,
    TaskRow,
)
from tubcare.store.unit import table_of
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from sqlalchemy import BindParameter, Connection

    from tubcare.services.running_costs import WriteOffToCome

_TaskSum = tuple[int, int, int, int]
_CategorySum = tuple[str, int, int]

# Statements are built once: building one costs several times its run.
_FIRST: BindParameter[Any] = bindparam("first")
_LAST: BindParameter[Any] = bindparam("last")
_TOTAL, _DIP = table_of(MonthTotalRow), table_of(DipRow)
_BUDGET, _DONE, _OF = table_of(BudgetRow), table_of(CompletionRow), table_of(TaskRow)
# By view first, since only then the index leads to the months.
_IN_MONTHS = and_(
    _TOTAL.c.view == bindparam("view"), _TOTAL.c.month >= _FIRST, _TOTAL.c.month <= _LAST
)
# A sum on a server is a decimal.
_SUM = as_type(func.sum(_TOTAL.c.minor), BigInteger)
_TASK, _TUB, _MONTH = _TOTAL.c.task_id, _TOTAL.c.tub_id, _TOTAL.c.month
_BY_TASK = select(_TASK, _TUB, _MONTH, _SUM).where(_IN_MONTHS).group_by(_TASK, _TUB, _MONTH)
_CATEGORY = _TOTAL.c.category
_BY_CATEGORY = select(_CATEGORY, _MONTH, _SUM).where(_IN_MONTHS).group_by(_CATEGORY, _MONTH)
_DIPS = select(func.coalesce(func.sum(_DIP.c.dips), 0)).where(
    _DIP.c.on_date >= _FIRST, _DIP.c.on_date <= _LAST
)
_BUDGETS = select(_BUDGET.c.year, _BUDGET.c.category, _BUDGET.c.minor).where(
    _BUDGET.c.year >= _FIRST, _BUDGET.c.year <= _LAST
)
_COUNTS = (
    select(
        _DONE.c.task_id,
        func.sum(case((_DONE.c.outcome == "done", 1), else_=0)),
        func.sum(case((_DONE.c.outcome == "skipped", 1), else_=0)),
        func.sum(_DONE.c.missed),
    )
    .where(_DONE.c.on_date >= _FIRST, _DONE.c.on_date <= _LAST)
    .group_by(_DONE.c.task_id)
)


def _span(period: Period) -> dict[str, date]:
    return {"first": period.first, "last": period.last}


def period_facts(
    connection: Connection,
    period: Period,
    today: date,
    to_come: WriteOffToCome,
    tub: TubId | None = None,
) -> PeriodFacts:
    """Return what a period cost up to today, grouped, and how much the tubs were used.

    With a tub, what belongs to it alone.
    """
    dips = connection.execute(of_tub(_DIPS, _DIP.c.tub_id, tub), _span(period)).scalar_one()
    paid, used = _edges_of(connection, period, tub)
    return PeriodFacts(
        period=period,
        paid=paid,
        used=[*used, *to_come.not_yet],
        paid_sums=_whole_months(connection, period, View.PAID, tub),
        used_sums=_whole_months(connection, period, View.USED, tub),
        open_days=periods.open_days(connection, period, today, tub),
        dips=int(dips),
    )


def period_budgets(connection: Connection, period: Period) -> dict[SpendCategory, int]:
    """Return what a period may cost: a year's budgets, or their share of a season."""
    by_year: dict[int, dict[SpendCategory, int]] = {}
    years = {"first": period.first.year, "last": period.last.year}
    for row in connection.execute(_BUDGETS, years):
        by_year.setdefault(row.year, {})[SpendCategory(row.category)] = row.minor
    return prorated(by_year, period.first, period.last)


def task_counts(
    connection: Connection, period: Period, overdue: Iterable[TaskId], tub: TubId | None = None
) -> list[TaskCount]:
    """Return how often each task was done, and how often it was not.

    Missed are dates that were skipped, dates that passed unseen, and what is `overdue` still.
    """
    done = (
        _COUNTS
        if tub is None
        else _COUNTS.where(_DONE.c.task_id.in_(select(_OF.c.id).where(_OF.c.tub_id == tub)))
    )
    rows = connection.execute(done, _span(period))
    counts = {
        TaskId(task): (int(did), int(left) + int(missed)) for task, did, left, missed in rows
    }
    for task in overdue:
        did, missed = counts.get(task, (0, 0))
        counts[task] = (did, missed + 1)
    return [
        TaskCount(task=task, done=did, missed=missed) for task, (did, missed) in counts.items()
    ]


def _whole_months(connection: Connection, period: Period, view: View, tub: TubId | None) -> Sums:
    """Return what the whole months of a period cost in a view, from the totals."""
    first, last = whole_months(period)
    asked = {"view": view.value, "first": first, "last": last}
    return Sums(
        tasks=cast("list[_TaskSum]", connection.execute(of_tub(_BY_TASK, _TUB, tub), asked).all()),
        categories=cast(
            "list[_CategorySum]", connection.execute(of_tub(_BY_CATEGORY, _TUB, tub), asked).all()
        ),
    )


def _edges_of(
    connection: Connection, period: Period, tub: TubId | None
) -> tuple[list[GroupedRow], list[GroupedRow]]:
    """Return what the months cost of which a period has only a part, from the facts."""
    rows: dict[str, list[GroupedRow]] = {"paid": [], "used": []}
    for first, last in _edges(period, *whole_months(period)):
        _add_edge(connection, rows, first, last, tub)
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
    connection: Connection,
    rows: dict[str, list[GroupedRow]],
    first: date,
    last: date,
    tub: TubId | None,
) -> None:
    for share in shares_between(connection, first, last):
        image = share.image
        if tub is not None and image["tub_id"] != tub:
            continue
        category = category_of(connection, share.table, image)
        key = (image["task_id"], category, image["tub_id"])
        for view, minor in (
            ("paid", share.amounts.paid_minor),
            ("used", share.amounts.used_minor),
        ):
            if minor:
                rows[view].append((*key, first.year, first.month, minor))
