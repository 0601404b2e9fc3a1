"""The year review: what a year or season cost and what was done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from sqlalchemy import and_, case, func, or_, select

from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.contributions import contributions_between, used_days
from tubcare.ledger.effects import EffectsTable, ItemCost, effects
from tubcare.ledger.months import month_of
from tubcare.ledger.review import review
from tubcare.ledger.review_model import (
    GroupedRow,
    Period,
    PeriodFacts,
    ReviewInput,
    TaskCount,
    YearReview,
)
from tubcare.services import periods
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.outlook import expected_costs
from tubcare.services.totals_cache import category_of, fact_of
from tubcare.store.tables import (
    BudgetRow,
    CompletionRow,
    DipRow,
    EntryRow,
    MonthTotalRow,
    SupplyRow,
    TaskRow,
    TubRow,
    UseRow,
)
from tubcare.store.unit import table_of
from tubcare.values import TaskId, TubId

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk

POWER_KEY = "power"
WATER_KEY = "water"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reviewed:
    """A review with the names that its figures belong to."""

    review: YearReview
    effects: EffectsTable
    titles: Mapping[TaskId, str]
    tub_names: Mapping[TubId, str]
    today: date


def year_review(desk: Desk, year: int) -> Reviewed:
    """Return the review of a calendar year."""
    with desk.read() as connection:
        return _reviewed(desk, connection, periods.calendar_year(year))


def season_review(desk: Desk, year: int, tub: TubId | None = None) -> Reviewed:
    """Return the review of the season that opened in a year.

    Raises
    ------
    NotFoundError
        When no season opened in that year.
    """
    with desk.read() as connection:
        chosen = tub if tub is not None else _first_tub(connection)
        today = desk.today(setting(connection, HOME_ZONE) or "UTC")
        return _reviewed(desk, connection, periods.season_of(connection, chosen, year, today))


def years_on_record(desk: Desk) -> tuple[int, ...]:
    """Return the years in which anything was paid or done, newest first; never empty."""
    entry, done = table_of(EntryRow), table_of(CompletionRow)
    with desk.read() as connection:
        today = desk.today(setting(connection, HOME_ZONE) or "UTC")
        first = [
            connection.execute(select(func.min(column))).scalar()
            for column in (entry.c.on_date, done.c.on_date)
        ]
    oldest = min((day.year for day in first if day is not None), default=today.year)
    return tuple(range(today.year, min(oldest, today.year) - 1, -1))


def _reviewed(desk: Desk, connection: Connection, period: Period) -> Reviewed:
    today = desk.today(setting(connection, HOME_ZONE) or "UTC")
    earlier = periods.before(period)
    task, tub = table_of(TaskRow), table_of(TubRow)
    had_before = _has_facts(connection, earlier)
    return Reviewed(
        review=review(
            ReviewInput(
                facts=_facts(connection, period, today),
                before=_facts(connection, earlier, today) if had_before else None,
                today=today,
                budgets=_budgets(connection, period),
                expected=expected_costs(desk, connection, today, period.last),
                counts=_counts(connection, period),
            )
        ),
        effects=effects(_items(connection, earlier), _items(connection, period))
        if had_before
        else effects((), ()),
        titles={TaskId(i): t for i, t in connection.execute(select(task.c.id, task.c.title))},
        tub_names={TubId(i): n for i, n in connection.execute(select(tub.c.id, tub.c.name))},
        today=today,
    )


def _facts(connection: Connection, period: Period, today: date) -> PeriodFacts:
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
        used=used,
        open_days=periods.open_days(connection, period, today),
        dips=int(dips),
    )


def _grouped(connection: Connection, period: Period) -> tuple[list[GroupedRow], list[GroupedRow]]:
    """Return whole months from the totals, and the months at the edges from the facts."""
    table = table_of(MonthTotalRow)
    rows: dict[str, list[GroupedRow]] = {"paid": [], "used": []}
    whole_first, whole_last = _whole_months(period)
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


def _whole_months(period: Period) -> tuple[int, int]:
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
    entry, use = table_of(EntryRow), table_of(UseRow)
    inside = and_(entry.c.on_date >= first, entry.c.on_date <= last)
    lasting = and_(
        entry.c.kind.in_(("power", "build", "refund")),
        or_(
            and_(entry.c.kind == "power", entry.c.on_date >= first, entry.c.from_date <= last),
            and_(entry.c.kind != "power", entry.c.on_date <= last),
        ),
    )
    found = connection.execute(select(entry).where(or_(inside, lasting))).mappings().all()
    images = [(entry.name, dict(row)) for row in found]
    left = connection.execute(
        select(use).where(use.c.on_date >= first, use.c.on_date <= last)
    ).mappings()
    images += [(use.name, dict(row)) for row in left]
    for table, image in images:
        fact = fact_of(connection, table, image)
        begins, ends = used_days(fact)
        if ends < first or begins > last:
            continue
        amounts = contributions_between(fact, first, last)
        key = (image["task_id"], category_of(connection, table, image), image["tub_id"])
        for view, minor in (("paid", amounts.paid_minor), ("used", amounts.used_minor)):
            if minor:
                rows[view].append((*key, first.year, first.month, minor))


def _budgets(connection: Connection, period: Period) -> dict[SpendCategory, int]:
    table = table_of(BudgetRow)
    rows = connection.execute(
        select(table.c.category, table.c.minor).where(table.c.year == period.first.year)
    )
    return {SpendCategory(category): minor for category, minor in rows}


def _counts(connection: Connection, period: Period) -> list[TaskCount]:
    table = table_of(CompletionRow)
    done = func.sum(case((table.c.outcome == "done", 1), else_=0))
    skipped = func.sum(case((table.c.outcome == "skipped", 1), else_=0))
    rows = connection.execute(
        select(table.c.task_id, done, skipped, func.sum(table.c.missed))
        .where(table.c.on_date >= period.first, table.c.on_date <= period.last)
        .group_by(table.c.task_id)
    )
    return [
        TaskCount(task=TaskId(task), done=int(did), missed=int(left) + int(missed))
        for task, did, left, missed in rows
    ]


def _items(connection: Connection, period: Period) -> list[ItemCost]:
    use, supply, entry = table_of(UseRow), table_of(SupplyRow), table_of(EntryRow)
    used = connection.execute(
        select(
            supply.c.name,
            supply.c.unit,
            func.sum(use.c.cost_minor),
            func.sum(use.c.quantity_milli),
        )
        .join(supply, supply.c.id == use.c.supply_id)
        .where(use.c.kind == "used", use.c.on_date >= period.first, use.c.on_date <= period.last)
        .group_by(supply.c.name, supply.c.unit)
    )
    items = [
        ItemCost(key=name, unit=unit, minor=int(minor), quantity_milli=int(quantity))
        for name, unit, minor, quantity in used
    ]
    metered = connection.execute(
        select(entry.c.kind, func.sum(entry.c.minor), func.sum(entry.c.quantity_milli))
        .where(
            entry.c.kind.in_((POWER_KEY, WATER_KEY)),
            entry.c.on_date >= period.first,
            entry.c.on_date <= period.last,
        )
        .group_by(entry.c.kind)
    )
    units = {POWER_KEY: "kWh", WATER_KEY: "l"}
    items += [
        ItemCost(key=kind, unit=units[kind], minor=int(minor), quantity_milli=int(quantity or 0))
        for kind, minor, quantity in metered
    ]
    return items


def _has_facts(connection: Connection, period: Period) -> bool:
    entry, done = table_of(EntryRow), table_of(CompletionRow)
    return any(
        connection.execute(
            select(table.c.id)
            .where(table.c.on_date >= period.first, table.c.on_date <= period.last)
            .limit(1)
        ).first()
        is not None
        for table in (entry, done)
    )


def _first_tub(connection: Connection) -> TubId:
    table = table_of(TubRow)
    return TubId(connection.execute(select(func.min(table.c.id))).scalar() or 0)
