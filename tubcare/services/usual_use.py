"""Hours and energy that no counter was read for: the usual ones of each day on which it ran."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from sqlalchemy import select

from tubcare.care.model import Counter
from tubcare.care.profile import profile_from_data
from tubcare.services.power_days import Mode, Stretch, states_of, stretches
from tubcare.store.tables import PowerPlanRow, TubRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from sqlalchemy import Connection

    from tubcare.values import TubId

_HOURS_A_DAY = 24.0
_ONE_DAY = timedelta(days=1)
# Longer ago than any use trigger counts; it keeps a slip in a date from costing a second.
_FARTHEST_BACK = timedelta(days=4000)


class UsualUse:
    """Answers how much a tub ran between two instants, by its states and its usual days.

    Parameters
    ----------
    connection
        An open transaction.
    tub
        Whose.
    zone
        The tub's time zone.
    """

    def __init__(self, connection: Connection, tub: TubId, zone: str) -> None:
        self._zone = ZoneInfo(zone)
        self._states = states_of(connection, tub)
        self._usual = _usual(connection, tub)

    def between(self, counter: Counter, first: datetime, last: datetime) -> float:
        """Return the use of a counter from one instant to a later one."""
        by_month = self._usual.get(counter.value)
        if by_month is None or last <= first:
            return 0.0
        first = max(first, last - _FARTHEST_BACK)
        begin, end = first.astimezone(self._zone), last.astimezone(self._zone)
        ran = stretches(self._states, begin.date(), end.date())
        return sum(
            (by_month[day.month - 1] or 0.0) * self._share(day, begin, end)
            for day in _running(ran, counter)
        )

    def _share(self, day: date, begin: datetime, end: datetime) -> float:
        """Return which part of a local day lies between two instants; 1 for most days."""
        if begin.date() < day < end.date():
            return 1.0
        midnight = datetime.combine(day, time(), self._zone)
        after = datetime.combine(day + _ONE_DAY, time(), self._zone)
        inside = min(end, after) - max(begin, midnight)
        return max(0.0, inside / (after - midnight))


def _running(ran: Sequence[Stretch], counter: Counter) -> list[date]:
    modes = {Mode.RUNNING, Mode.PUMP_ONLY} if counter is Counter.PUMP_H else {Mode.RUNNING}
    return [
        stretch.first + _ONE_DAY * n
        for stretch in ran
        if stretch.mode in modes
        for n in range((stretch.last - stretch.first).days + 1)
    ]


def _usual(connection: Connection, tub: TubId) -> Mapping[str, Sequence[float | None]]:
    plan, tubs = table_of(PowerPlanRow), table_of(TubRow)
    kept: dict[str, Any] | None = connection.execute(
        select(plan.c.usual).where(plan.c.tub_id == tub)
    ).scalar()
    if kept:
        return kept
    data = connection.execute(select(tubs.c.profile).where(tubs.c.id == tub)).scalar_one()
    runs = profile_from_data(data).pump_w > 0.0
    # Until a person says otherwise a pump that there is runs all day.
    return {Counter.PUMP_H.value: (_HOURS_A_DAY,) * 12} if runs else {}
