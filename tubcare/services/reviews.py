"""The year review: what a year or season cost and what was done."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from sqlalchemy import bindparam, func, select

from tubcare.care.terms import Status
from tubcare.errors import InputError
from tubcare.ledger.effects import EffectsTable, effects
from tubcare.ledger.review import review
from tubcare.ledger.review_model import Period, ReviewInput, YearReview
from tubcare.services import periods
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.expected import ExpectedWork, expected_work
from tubcare.services.facts import read_plan
from tubcare.services.fields import FIRST_DAY, LAST_DAY
from tubcare.services.period_choices import PeriodChoice, PeriodKind
from tubcare.services.periods import of_tub
from tubcare.services.review_items import estimated_power, items_of
from tubcare.services.review_sums import period_budgets, period_facts, task_counts, whole_months
from tubcare.services.running_costs import WriteOffToCome, power_to_come, write_off_to_come
from tubcare.services.week import due_items
from tubcare.store.tables import CompletionRow, EntryRow, MonthTotalRow, TaskRow, TubRow
from tubcare.store.unit import table_of
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import BindParameter, Connection

    from tubcare.ledger.forecast import ExpectedCost
    from tubcare.services.desk import Desk

NOTHING_TO_COME = WriteOffToCome()
NO_WORK = ExpectedWork()

# Statements are built once: building one costs several times its run.
_FIRST: BindParameter[Any] = bindparam("first")
_LAST: BindParameter[Any] = bindparam("last")
_ENTRY, _DONE, _TOTAL = table_of(EntryRow), table_of(CompletionRow), table_of(MonthTotalRow)
_TASK, _TUB = table_of(TaskRow), table_of(TubRow)
_ANY_PAID = select(_ENTRY.c.id).where(_ENTRY.c.on_date.between(_FIRST, _LAST)).limit(1)
_ANY_DONE = select(_DONE.c.id).where(_DONE.c.on_date.between(_FIRST, _LAST)).limit(1)
_ANY_TOTAL = select(_TOTAL.c.month).where(_TOTAL.c.month.between(_FIRST, _LAST)).limit(1)
_TITLES = select(_TASK.c.id, _TASK.c.title, _TASK.c.tub_id)
_NAMES = select(_TUB.c.id, _TUB.c.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reviewed:
    """A review with the names that its figures belong to."""

    review: YearReview
    effects: EffectsTable
    titles: Mapping[TaskId, str]
    task_tubs: Mapping[TaskId, TubId]
    tub_names: Mapping[TubId, str]
    today: date
    is_season: bool
    estimated_minor: int = 0
    """How much of the power used in a running period is estimated, until the meter is read."""
    only: TubId | None = None
    """The tub that it tells of alone, None for all that the logbook holds."""

    @property
    def only_name(self) -> str:
        """The name of the tub that it tells of alone, "" for all."""
        return "" if self.only is None else self.tub_names.get(self.only, "")

    def task_name(self, task: TaskId | None) -> str:
        """Return the title of a task, with its tub where the logbook has several; else nothing."""
        if task is None or task not in self.titles:
            return ""
        tub = self.tub_names.get(self.task_tubs[task], "")
        title = self.titles[task]
        return f"{title} ({tub})" if len(self.tub_names) > 1 and tub else title

    @property
    def is_over(self) -> bool:
        """Whether the last day of the period has passed."""
        return self.review.period.last < self.today


@dataclass(frozen=True, slots=True, kw_only=True)
class _ToCome:
    """What is still to come in a period, and which tasks are overdue today."""

    work: ExpectedWork = NO_WORK
    power: tuple[ExpectedCost, ...] = ()
    write_off: WriteOffToCome = NOTHING_TO_COME
    overdue: tuple[TaskId, ...] = ()
    estimated_minor: int = 0


def year_review(desk: Desk, year: int, *, only: TubId | None = None) -> Reviewed:
    """Return the review of a calendar year, 1990 to 2199, of all tubs or `only` one.

    Raises `InputError` for another year.
    """
    if not FIRST_DAY.year <= year <= LAST_DAY.year:
        raise InputError("year", f"{year} lies outside {FIRST_DAY.year} to {LAST_DAY.year}")
    choice = PeriodChoice(kind=PeriodKind.YEAR, period=periods.calendar_year(year))
    return review_of(desk, choice, only=only)


def season_review(
    desk: Desk, year: int, tub: TubId | None = None, *, only: TubId | None = None
) -> Reviewed:
    """Return the review of the season of a tub that opened in a year, of all tubs or `only` one.

    Raises
    ------
    NotFoundError
        When no season opened in that year.
    """
    with desk.read() as connection:
        chosen = tub if tub is not None else _first_tub(connection)
        today = desk.today(setting(connection, HOME_ZONE) or "UTC")
        period = periods.season_of(connection, chosen, year, today)
    return review_of(
        desk, PeriodChoice(kind=PeriodKind.SEASON, period=period, tub=chosen), only=only
    )


def review_of(desk: Desk, choice: PeriodChoice, *, only: TubId | None = None) -> Reviewed:
    """Return the review of a period; a season is set beside the season before it.

    It covers the whole logbook: a season of one tub is a span of days for all of them. With
    `only` it tells of what belongs to that tub alone, without budgets, which are for all.
    """
    with desk.read() as connection:
        today = desk.today(setting(connection, HOME_ZONE) or "UTC")
        if choice.tub is None:
            earlier = periods.before(choice.period)
        else:
            earlier = periods.season_before(connection, choice.tub, choice.period, today)
        return _reviewed(desk, connection, choice, earlier, only)


def _reviewed(
    desk: Desk,
    connection: Connection,
    choice: PeriodChoice,
    earlier: Period,
    only: TubId | None,
) -> Reviewed:
    today, period = desk.today(setting(connection, HOME_ZONE) or "UTC"), choice.period
    to_come = _to_come(desk, connection, period, today, only)
    had_before = _has_facts(connection, earlier, only)
    runs = period.first <= today <= period.last
    alike = periods.first_days(earlier, (today - period.first).days + 1) if runs else earlier
    result = review(
        ReviewInput(
            facts=period_facts(connection, period, today, to_come.write_off, only),
            before=period_facts(connection, earlier, today, NOTHING_TO_COME, only)
            if had_before
            else None,
            before_so_far=period_facts(connection, alike, today, NOTHING_TO_COME, only)
            if had_before and runs
            else None,
            today=today,
            budgets={} if only is not None else period_budgets(connection, period),
            expected=(*to_come.work.money, *to_come.power),
            expected_paid=to_come.work.bought,
            expected_used=(*to_come.work.taken, *to_come.write_off.expected),
            counts=task_counts(connection, period, to_come.overdue, only),
        )
    )
    tasks = connection.execute(_TITLES).all()
    return Reviewed(
        review=result,
        effects=_effects(connection, result, alike, only) if had_before else effects((), ()),
        titles={TaskId(row.id): row.title for row in tasks},
        task_tubs={TaskId(row.id): TubId(row.tub_id) for row in tasks},
        tub_names={TubId(i): n for i, n in connection.execute(of_tub(_NAMES, _TUB.c.id, only))},
        today=today,
        is_season=choice.kind is PeriodKind.SEASON,
        estimated_minor=to_come.estimated_minor,
        only=only,
    )


def _to_come(
    desk: Desk, connection: Connection, period: Period, today: date, only: TubId | None
) -> _ToCome:
    if not period.first <= today <= period.last:
        return _ToCome()
    plan = read_plan(connection, desk.now())
    if only is not None:
        tasks = tuple(task for task in plan.tasks if task.tub_id == only)
        tubs = {tub: record for tub, record in plan.tubs.items() if tub == only}
        plan = replace(plan, tasks=tasks, tubs=tubs)
    overdue = tuple(
        item.task for item in due_items(desk, plan) if item.occurrence.status is Status.OVERDUE
    )
    return _ToCome(
        work=expected_work(desk, connection, plan, today, period.last),
        power=power_to_come(connection, plan, period, today),
        write_off=write_off_to_come(connection, period, today, only),
        overdue=overdue,
        estimated_minor=estimated_power(connection, period, only),
    )


def _effects(
    connection: Connection, result: YearReview, earlier: Period, only: TubId | None
) -> EffectsTable:
    lines = result.used.categories
    return effects(
        items_of(
            connection, earlier, {line.category: line.before_minor or 0 for line in lines}, only
        ),
        items_of(connection, result.period, {line.category: line.minor for line in lines}, only),
    )


def _has_facts(connection: Connection, period: Period, only: TubId | None) -> bool:
    """Return whether anything was paid, done or used up in a period."""
    first, last = whole_months(period)
    days, months = {"first": period.first, "last": period.last}, {"first": first, "last": last}
    asked = (
        (of_tub(_ANY_PAID, _ENTRY.c.tub_id, only), days),
        (_ANY_DONE if only is None else _ANY_DONE.join(_TASK).where(_TASK.c.tub_id == only), days),
        (of_tub(_ANY_TOTAL, _TOTAL.c.tub_id, only), months),
    )
    return any(connection.execute(each, span).first() is not None for each, span in asked)


def _first_tub(connection: Connection) -> TubId:
    table = table_of(TubRow)
    return TubId(connection.execute(select(func.min(table.c.id))).scalar() or 0)
