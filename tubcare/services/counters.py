"""How much a tub was used: dips counted, meters interpolated, litres filled.

Hours and energy for which no counter was ever read are the usual ones of the days it ran.

All values of one counter are told against now, which is 0: earlier instants are negative. Only
what happened since then has to be read, so that the cost does not grow with the history.
"""

from __future__ import annotations

import itertools
from datetime import timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import bindparam, func, select

from tubcare.care.model import Counter, CounterState
from tubcare.services.usual_use import UsualUse
from tubcare.store.tables import DipRow, FillRow, MeterReadingRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.values import TubId

RATE_DAYS = 60

# Statements are built once: building one costs several times its run.
_DIP, _FILL = table_of(DipRow), table_of(FillRow)
_DIPS = select(func.coalesce(func.sum(_DIP.c.dips), 0)).where(
    _DIP.c.tub_id == bindparam("of"), _DIP.c.at > bindparam("since")
)
_LITRES = select(func.coalesce(func.sum(_FILL.c.litres), 0)).where(
    _FILL.c.tub_id == bindparam("of"), _FILL.c.at > bindparam("since")
)


class Counters:
    """Answers how much use lies between an instant and now.

    Parameters
    ----------
    connection
        An open transaction.
    now
        The instant that counts as 0.
    """

    def __init__(self, connection: Connection, now: datetime) -> None:
        self._connection = connection
        self._now = now
        self._meters: dict[tuple[TubId, Counter], list[tuple[datetime, float]]] = {}
        self._usuals: dict[TubId, UsualUse] = {}

    def at(self, tub: TubId, counter: Counter, instant: datetime, zone: str) -> float:
        """Return the counter at an instant, 0 being now."""
        if counter is Counter.DIP:
            return -self._sum_dips(tub, instant)
        if counter is Counter.LITRE:
            return -self._sum_litres(tub, instant)
        course = self._course(tub, counter)
        if not course:
            return -self._usual(tub, zone).between(counter, instant, self._now)
        return _value_at(course, instant) - course[-1][1]

    def state(self, tub: TubId, counter: Counter, zone: str) -> CounterState:
        """Return the counter now, its recent use a day, and the day of its newest record."""
        today = self._now.astimezone(ZoneInfo(zone)).date()
        since = self._now - timedelta(days=RATE_DAYS)
        rate = max(0.0, -self.at(tub, counter, since, zone)) / RATE_DAYS
        newest = today
        if counter in {Counter.PUMP_H, Counter.CHILLER_H, Counter.KWH}:
            course = self._course(tub, counter)
            if course:
                newest = course[-1][0].astimezone(ZoneInfo(zone)).date()
                rate = _recent_rate(course)
        return CounterState(now=0.0, daily_rate=rate, as_of=min(newest, today))

    def _usual(self, tub: TubId, zone: str) -> UsualUse:
        if tub not in self._usuals:
            self._usuals[tub] = UsualUse(self._connection, tub, zone)
        return self._usuals[tub]

    def _sum_dips(self, tub: TubId, since: datetime) -> float:
        return float(self._connection.execute(_DIPS, {"of": tub, "since": since}).scalar_one())

    def _sum_litres(self, tub: TubId, since: datetime) -> float:
        return float(self._connection.execute(_LITRES, {"of": tub, "since": since}).scalar_one())

    def _course(self, tub: TubId, counter: Counter) -> list[tuple[datetime, float]]:
        known = self._meters.get((tub, counter))
        if known is not None:
            return known
        table = table_of(MeterReadingRow)
        rows = self._connection.execute(
            select(table.c.at, table.c.value_milli, table.c.new_meter)
            .where(table.c.tub_id == tub, table.c.counter == counter.value)
            .order_by(table.c.at, table.c.id)
        ).all()
        course: list[tuple[datetime, float]] = []
        offset, last = 0, 0
        for row in rows:
            if row.new_meter:
                offset += last - row.value_milli
            last = row.value_milli
            course.append((row.at, (last + offset) / 1000))
        self._meters[(tub, counter)] = course
        return course


def _value_at(course: list[tuple[datetime, float]], instant: datetime) -> float:
    if not course:
        return 0.0
    if instant <= course[0][0]:
        return course[0][1]
    for (before, low), (after, high) in itertools.pairwise(course):
        if before <= instant <= after:
            share = (instant - before) / (after - before) if after > before else 1.0
            return low + (high - low) * share
    return course[-1][1]


def _recent_rate(course: list[tuple[datetime, float]]) -> float:
    if len(course) < 2:
        return 0.0
    last_at, last = course[-1]
    start = last_at - timedelta(days=RATE_DAYS)
    first_at = max(start, course[0][0])
    days = (last_at - first_at) / timedelta(days=1)
    return max(0.0, (last - _value_at(course, first_at)) / days) if days > 0 else 0.0
