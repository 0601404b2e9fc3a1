"""The spans of days that money can be looked at in: years and seasons."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from tubcare.ledger.review_model import Period
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.periods import calendar_year, seasons
from tubcare.store.tables import CompletionRow, EntryRow, TubRow
from tubcare.store.unit import table_of
from tubcare.values import TubId

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.services.desk import Desk

A_YEAR = timedelta(days=365)


class PeriodKind(StrEnum):
    """What makes a span of days a period."""

    RECENT = "recent"
    YEAR = "year"
    SEASON = "season"


@dataclass(frozen=True, slots=True, kw_only=True)
class PeriodChoice:
    """A period on offer; a season names the tubs that opened on its first day."""

    kind: PeriodKind
    period: Period
    tub: TubId | None = None
    tub_names: tuple[str, ...] = ()

    @property
    def year(self) -> int:
        """The calendar year, or the one in which the season opened."""
        return self.period.first.year


def review_periods(desk: Desk) -> tuple[PeriodChoice, ...]:
    """Return every calendar year on record, then every season, newest first; never empty."""
    with desk.read() as connection:
        today = desk.today(setting(connection, HOME_ZONE) or "UTC")
        return (*_years(connection, today), *_seasons(connection, today))


def ledger_periods(desk: Desk) -> tuple[PeriodChoice, ...]:
    """Return the last twelve months, then what `review_periods` returns."""
    with desk.read() as connection:
        today = desk.today(setting(connection, HOME_ZONE) or "UTC")
        recent = PeriodChoice(
            kind=PeriodKind.RECENT, period=Period(first=today - A_YEAR, last=today)
        )
        return (recent, *_years(connection, today), *_seasons(connection, today))


def _years(connection: Connection, today: date) -> list[PeriodChoice]:
    entry, done = table_of(EntryRow), table_of(CompletionRow)
    oldest = [
        connection.execute(select(func.min(column))).scalar()
        for column in (entry.c.on_date, done.c.on_date)
    ]
    first = min((day.year for day in oldest if day is not None), default=today.year)
    return [
        PeriodChoice(kind=PeriodKind.YEAR, period=calendar_year(year))
        for year in range(today.year, min(first, today.year) - 1, -1)
    ]


def _seasons(connection: Connection, today: date) -> list[PeriodChoice]:
    table = table_of(TubRow)
    found: dict[Period, list[tuple[TubId, str]]] = {}
    for row in connection.execute(select(table.c.id, table.c.name).order_by(table.c.id)).all():
        tub = TubId(row.id)
        for period in seasons(connection, tub, today):
            found.setdefault(period, []).append((tub, row.name))
    newest_first = sorted(found, key=lambda period: period.first, reverse=True)
    return [
        PeriodChoice(
            kind=PeriodKind.SEASON,
            period=period,
            tub=found[period][0][0],
            tub_names=tuple(name for _tub, name in found[period]),
        )
        for period in newest_first
    ]
