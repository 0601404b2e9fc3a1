"""The states that a tub was in, and where it stands in its season today."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.care.model import TubState
from tubcare.care.timeline import FAR, closing_passed, timeline_of
from tubcare.errors import NotFoundError
from tubcare.services.facts import read_tubs
from tubcare.store.tables import StateChangeRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from tubcare.care.timeline import ScopeDays
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


@dataclass(frozen=True, slots=True, kw_only=True)
class StateRecord:
    """A tub entered a state on a day."""

    id: int
    on: date
    state: TubState
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonNow:
    """Where a tub stands in its season today.

    In season `first` is the day of opening, `days_open` counts the days since then that were not
    paused, and `ends_on` is the planned day of closing, which may have passed; else `opens_on` is
    the planned opening.
    """

    today: date
    state: TubState | None
    since: date | None
    first: date | None = None
    days_open: int = 0
    ends_on: date | None = None
    opens_on: date | None = None


def state_history(desk: Desk, tub: TubId) -> tuple[StateRecord, ...]:
    """Return every state that a tub entered, newest first."""
    table = table_of(StateChangeRow)
    with desk.read() as connection:
        rows = connection.execute(
            select(table)
            .where(table.c.tub_id == tub)
            .order_by(table.c.on_date.desc(), table.c.id.desc())
        ).all()
    return tuple(
        StateRecord(id=row.id, on=row.on_date, state=TubState(row.state), note=row.note)
        for row in rows
    )


def season_now(desk: Desk, tub: TubId) -> SeasonNow:
    """Return where a tub stands in its season; `NotFoundError` when it is gone."""
    with desk.read() as connection:
        record = read_tubs(connection, desk.now(), only=tub, with_readings=False).get(tub)
    if record is None:
        raise NotFoundError("tub", tub)
    today = desk.today(record.zone)
    line = timeline_of(record.facts, today)
    day = today.toordinal()
    last = max(record.facts.states, key=lambda s: s.on, default=None)
    state = None if last is None else line.state(day)
    since = None if last is None else last.on
    season = line.in_season.season(day)
    if season is None or season.start > day:
        opens_on = None if season is None else date.fromordinal(season.start)
        return SeasonNow(today=today, state=state, since=since, opens_on=opens_on)
    ends = closing_passed(record.facts.plan, line, day) or season.end
    return SeasonNow(
        today=today,
        state=state,
        since=since,
        first=date.fromordinal(season.start),
        days_open=_live_days(line.in_season, season.start, day),
        ends_on=None if ends >= FAR else date.fromordinal(ends),
    )


def _live_days(scope: ScopeDays, first: int, last: int) -> int:
    return sum(
        max(0, min(end, last + 1) - max(start, first))
        for start, end in zip(scope.starts, scope.ends, strict=True)
    )
