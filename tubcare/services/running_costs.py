"""What goes on by itself to the end of a period: power while a tub is open, and the write-off."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import or_, select

from tubcare.care.terms import TubState
from tubcare.care.timeline import timeline_of
from tubcare.ledger.categories import SpendCategory
from tubcare.ledger.contributions import contributions_between
from tubcare.ledger.forecast import ExpectedCost
from tubcare.ledger.money import divide_half_even
from tubcare.ledger.months import YearMonth, month_of, months_between
from tubcare.services.totals_cache import fact_of
from tubcare.store.tables import EntryRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.care.timeline import Timeline
    from tubcare.ledger.review_model import GroupedRow, Period
    from tubcare.services.facts import Plan, TubRecord
    from tubcare.store.journal import Image
    from tubcare.values import TubId

LOOK_BACK = timedelta(days=365)
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteOffToCome:
    """What the build will still cost in a period.

    `not_yet` takes it out of the months where it is booked ahead; `expected` says it as a
    forecast. Both add up to zero together.
    """

    not_yet: tuple[GroupedRow, ...] = ()
    expected: tuple[ExpectedCost, ...] = ()


def power_to_come(
    connection: Connection, plan: Plan, period: Period, today: date
) -> tuple[ExpectedCost, ...]:
    """Return what power will likely cost from the last reading to the end of a period.

    Each tub goes on at what it took for each open day, by the readings of the last twelve months;
    days on which it will be closed by plan count nothing.
    """
    costs: list[ExpectedCost] = []
    for tub in plan.tubs.values():
        costs += _power_of(connection, tub, period, today)
    return tuple(costs)


def write_off_to_come(
    connection: Connection, period: Period, today: date, tub: TubId | None = None
) -> WriteOffToCome:
    """Return what is booked after today in a period as write-off of the build, or of one tub's."""
    first = max(period.first, today + ONE_DAY)
    if first > period.last:
        return WriteOffToCome()
    rows: list[GroupedRow] = []
    by_month: Counter[YearMonth] = Counter()
    for image in _build_rows(connection, period.last):
        if tub is not None and image["tub_id"] != tub:
            continue
        fact = fact_of(connection, EntryRow.__tablename__, image)
        for month in months_between(first, period.last):
            span = max(first, month.first_day), min(period.last, month.last_day)
            minor = contributions_between(fact, *span).used_minor
            if minor:
                key = (image["task_id"], image["category"], image["tub_id"])
                rows.append((*key, month.year, month.month, -minor))
                by_month[month] += minor
    return WriteOffToCome(
        not_yet=tuple(rows),
        expected=tuple(
            ExpectedCost(max(first, month.first_day), SpendCategory.BUILD, minor)
            for month, minor in sorted(by_month.items())
            if minor > 0
        ),
    )


def _power_of(
    connection: Connection, tub: TubRecord, period: Period, today: date
) -> list[ExpectedCost]:
    table = table_of(EntryRow)
    charges = connection.execute(
        select(table.c.from_date, table.c.on_date, table.c.minor)
        .where(
            table.c.kind == "power",
            table.c.tub_id == tub.id,
            table.c.on_date > today - LOOK_BACK,
            table.c.on_date <= today,
        )
        .order_by(table.c.on_date)
    ).all()
    if not charges:
        return []
    timeline = timeline_of(tub.facts, today)
    began = min(row.from_date or row.on_date for row in charges) + ONE_DAY
    read_on: date = charges[-1].on_date
    paid = sum(row.minor for row in charges)
    basis = sum(_open_days(timeline, began, read_on).values())
    coming = _open_days(timeline, max(read_on + ONE_DAY, period.first), period.last)
    costs, days = [], 0
    for month, count in coming.items():
        before, days = days, days + count
        minor = _share(paid, days, basis) - _share(paid, before, basis)
        on = max(today, month.first_day)
        costs.append(ExpectedCost(on, SpendCategory.POWER, minor))
    return costs


def _share(minor: int, days: int, basis: int) -> int:
    return divide_half_even(minor * days, basis) if basis else 0


def _open_days(timeline: Timeline, first: date, last: date) -> Counter[YearMonth]:
    """Return on how many days of each month a tub is open, by record or by plan."""
    found: Counter[YearMonth] = Counter()
    for ordinal in range(first.toordinal(), last.toordinal() + 1):
        if timeline.state(ordinal) is TubState.OPEN:
            found[month_of(date.fromordinal(ordinal))] += 1
    return found


def _build_rows(connection: Connection, last: date) -> list[Image]:
    table = table_of(EntryRow)
    original = table.alias()
    rows = connection.execute(
        select(table)
        .outerjoin(original, original.c.id == table.c.refund_of)
        .where(
            table.c.on_date <= last,
            or_(
                table.c.kind == "build",
                (table.c.kind == "refund") & (original.c.kind == "build"),
            ),
        )
    ).mappings()
    return [dict(row) for row in rows]
