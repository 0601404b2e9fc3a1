"""The review of a year or season, put together from sums that the store has grouped.

The store hands in one row per task, category, tub and month, for both views and for the period
before; everything here is additions, so every table adds up to the same total.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.ledger.budget import compare_with_budget
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.contributions import View
from tubcare.ledger.forecast import forecast
from tubcare.ledger.money import divide_half_even
from tubcare.ledger.months import YearMonth, month_at
from tubcare.ledger.review_model import (
    CategoryLine,
    PeriodFacts,
    ReviewInput,
    TaskCount,
    TaskLine,
    TubLine,
    ViewReview,
    ViewTotal,
    YearReview,
)
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Sequence


def review(given: ReviewInput) -> YearReview:
    """Put the review of a period together.

    Raises
    ------
    InputError
        If a row lies outside its period or names an unknown category.
    """
    facts, before = given.facts, given.before
    return YearReview(
        period=facts.period,
        before=None if before is None else before.period,
        months=facts.period.months,
        paid=_view(View.PAID, given),
        used=_view(View.USED, given),
        open_days=facts.open_days,
        dips=facts.dips,
        done=sum(count.done for count in given.counts),
        missed=sum(count.missed for count in given.counts),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sums:
    tasks: dict[int | None, list[int]]
    categories: dict[SpendCategory, list[int]]
    tubs: dict[int | None, int]
    by_month: tuple[int, ...]


def _view(view: View, given: ReviewInput) -> ViewReview:
    facts, before = given.facts, given.before
    sums = _fold(facts, view)
    whole = None if before is None else _fold(before, view)
    alike = before if given.before_so_far is None else given.before_so_far
    old = None if alike is None else _fold(alike, view)
    total = _total(sums, facts)
    actual = {category: sum(months) for category, months in sums.categories.items()}
    alone = given.expected_used if view is View.USED else given.expected_paid
    expected = [*given.expected, *alone]
    coming = forecast(total.minor, expected, today=given.today, last=facts.period.last)
    return ViewReview(
        view=view,
        tasks=_task_lines(sums, old, given.counts),
        categories=_category_lines(sums, old),
        tubs=_tub_lines(sums, old),
        by_month=sums.by_month,
        before_by_month=None if whole is None else whole.by_month,
        total=total,
        before=None if old is None or alike is None else _total(old, alike),
        before_whole_minor=None if whole is None else sum(whole.by_month),
        budget=compare_with_budget(
            budgets=given.budgets, actual=actual, expected=coming.by_category
        ),
        forecast=coming,
    )


def _fold(facts: PeriodFacts, view: View) -> _Sums:
    months = facts.period.months
    places = {month.ordinal: at for at, month in enumerate(months)}
    tasks: dict[int | None, list[int]] = defaultdict(lambda: [0] * len(months))
    names: dict[str, list[int]] = defaultdict(lambda: [0] * len(months))
    tubs: dict[int | None, int] = defaultdict(int)
    is_paid = view is View.PAID
    sums = facts.paid_sums if is_paid else facts.used_sums
    try:
        for task, tub, month, minor in sums.tasks:
            tasks[task or None][places[month]] += minor
            tubs[tub or None] += minor
        for name, month, minor in sums.categories:
            names[name][places[month]] += minor
        for task, name, tub, year, number, minor in facts.paid if is_paid else facts.used:
            at = places[YearMonth(year, number).ordinal]
            tasks[task or None][at] += minor
            names[name][at] += minor
            tubs[tub or None] += minor
    except KeyError as error:
        outside = month_at(error.args[0])
        raise InputError(
            "rows", f"{outside.year}-{outside.month:02} lies outside the period"
        ) from error
    categories = {_category(name): line for name, line in names.items()}
    by_month = tuple(map(sum, zip(*categories.values(), strict=True))) or (0,) * len(months)
    return _Sums(tasks=dict(tasks), categories=categories, tubs=dict(tubs), by_month=by_month)


def _category(name: str) -> SpendCategory:
    try:
        return SpendCategory(name)
    except ValueError as exc:
        raise InputError("category", f"{name!r} is not one of {', '.join(SpendCategory)}") from exc


def _total(sums: _Sums, facts: PeriodFacts) -> ViewTotal:
    minor = sum(sums.by_month)
    return ViewTotal(
        minor=minor,
        per_open_day_minor=divide_half_even(minor, facts.open_days) if facts.open_days else None,
        per_dip_minor=divide_half_even(minor, facts.dips) if facts.dips else None,
    )


def _task_lines(
    sums: _Sums, old: _Sums | None, counts: Sequence[TaskCount]
) -> tuple[TaskLine, ...]:
    """Return every task with an amount or a count, dearest first, what has no task last."""
    before = {} if old is None else {task: sum(line) for task, line in old.tasks.items()}
    counted: dict[int | None, TaskCount] = {count.task: count for count in counts}
    nothing = (0,) * len(sums.by_month)
    lines = []
    for task in sums.tasks | before | counted:
        by_month = tuple(sums.tasks.get(task, nothing))
        count = counted.get(task)
        lines.append(
            TaskLine(
                task=None if task is None else TaskId(task),
                by_month=by_month,
                minor=sum(by_month),
                before_minor=None if old is None else before.get(task, 0),
                done=count.done if count else 0,
                missed=count.missed if count else 0,
            )
        )
    lines.sort(key=lambda line: (line.task is None, -line.minor, line.task or 0))
    return tuple(lines)


def _category_lines(sums: _Sums, old: _Sums | None) -> tuple[CategoryLine, ...]:
    """Return every category with an amount in either period, in the order of the categories."""
    before = {} if old is None else old.categories
    nothing = [0] * len(sums.by_month)
    lines = []
    for category in SpendCategory:
        if category in sums.categories or category in before:
            by_month = tuple(sums.categories.get(category, nothing))
            lines.append(
                CategoryLine(
                    category=category,
                    by_month=by_month,
                    minor=sum(by_month),
                    before_minor=None if old is None else sum(before.get(category, ())),
                )
            )
    return tuple(lines)


def _tub_lines(sums: _Sums, old: _Sums | None) -> tuple[TubLine, ...]:
    """Return every tub with an amount in either period, what has no tub last."""
    before = {} if old is None else old.tubs
    return tuple(
        TubLine(
            tub=None if tub is None else TubId(tub),
            minor=sums.tubs.get(tub, 0),
            before_minor=None if old is None else before.get(tub, 0),
        )
        for tub in sorted(sums.tubs | before, key=lambda tub: (tub is None, tub or 0))
    )
