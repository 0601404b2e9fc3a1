"""Calendar years and seasons, and how much of them a tub was open."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from sqlalchemy import bindparam, select

from tubcare.errors import NotFoundError
from tubcare.ledger.review_model import Period
from tubcare.store.tables import StateChangeRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from sqlalchemy import ColumnElement, Connection, Select

    from tubcare.values import TubId

ONE_DAY = timedelta(days=1)
OPEN_STATES = frozenset({"open", "chiller_resting"})

# Built once: building a statement costs several times its run.
_STATE = table_of(StateChangeRow)
_CHANGES = (
    select(_STATE.c.tub_id, _STATE.c.on_date, _STATE.c.state)
    .where(_STATE.c.on_date <= bindparam("last"))
    .order_by(_STATE.c.tub_id, _STATE.c.on_date, _STATE.c.id)
)


def calendar_year(year: int) -> Period:
    """Return the calendar year."""
    return Period(first=date(year, 1, 1), last=date(year, 12, 31))


def seasons(connection: Connection, tub: TubId, today: date) -> tuple[Period, ...]:
    """Return the seasons of a tub, oldest first.

    A season runs from an opening to the day before the next; the newest one to a year after its
    opening or to today, whichever is later.
    """
    openings = _openings(connection, tub)
    if not openings:
        return ()
    ends = [opening - ONE_DAY for opening in openings[1:]]
    newest = max(today, openings[-1] + timedelta(days=364))
    return tuple(
        Period(first=first, last=last)
        for first, last in zip(openings, [*ends, newest], strict=True)
    )


def season_of(connection: Connection, tub: TubId, year: int, today: date) -> Period:
    """Return the season that opened in a year; raise `NotFoundError` when none did."""
    for period in seasons(connection, tub, today):
        if period.first.year == year:
            return period
    raise NotFoundError("season", year)


def before(period: Period) -> Period:
    """Return the calendar year before, or as many days before a season's first."""
    if (period.first.month, period.first.day) == (1, 1) and period.last.month == 12:
        return calendar_year(period.first.year - 1)
    days = (period.last - period.first).days
    return Period(first=period.first - timedelta(days=days + 1), last=period.first - ONE_DAY)


def season_before(connection: Connection, tub: TubId, period: Period, today: date) -> Period:
    """Return the season of a tub before another one, or as many days before its first."""
    earlier = [one for one in seasons(connection, tub, today) if one.first < period.first]
    return earlier[-1] if earlier else before(period)


def first_days(period: Period, count: int) -> Period:
    """Return the first days of a period, all of it when it is no longer than that."""
    last = period.first + timedelta(days=count - 1)
    return Period(first=period.first, last=min(last, period.last))


def of_tub(statement: Select[Any], column: ColumnElement[Any], tub: TubId | None) -> Select[Any]:
    """Return a statement for the rows of one tub alone, unchanged for None."""
    return statement if tub is None else statement.where(column == tub)


def open_days(
    connection: Connection, period: Period, today: date, tub: TubId | None = None
) -> int:
    """Return on how many days the tub, or without one at least one tub, was open up to today."""
    last = min(period.last, today)
    if last < period.first:
        return 0
    changes = of_tub(_CHANGES, _STATE.c.tub_id, tub)
    rows = connection.execute(changes, {"last": last}).all()
    days: set[int] = set()
    for at, row in enumerate(rows):
        if row.state not in OPEN_STATES:
            continue
        following = rows[at + 1] if at + 1 < len(rows) else None
        same_tub = following is not None and following.tub_id == row.tub_id
        end = following.on_date - ONE_DAY if following is not None and same_tub else last
        first = max(row.on_date, period.first)
        days.update(range(first.toordinal(), min(end, last).toordinal() + 1))
    return len(days)


def _openings(connection: Connection, tub: TubId) -> list[date]:
    table = table_of(StateChangeRow)
    rows = connection.execute(
        select(table.c.on_date, table.c.state)
        .where(table.c.tub_id == tub)
        .order_by(table.c.on_date, table.c.id)
    ).all()
    openings: list[date] = []
    closed = True
    for row in rows:
        if row.state in OPEN_STATES and closed:
            openings.append(row.on_date)
        if row.state in {"closed", "retired"}:
            closed = True
        elif row.state in OPEN_STATES:
            closed = False
    return openings
