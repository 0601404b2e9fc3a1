"""Whether a tub holds water, and since when it is the water that it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from tubcare.care.model import TubState
from tubcare.services import water_statements as ask
from tubcare.services.moments import start_of

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date, datetime

    from sqlalchemy import Connection

    from tubcare.values import TubId, TubProfile

# A tub that is closed for the winter, or given up, is drained.
DRAINED: Final = frozenset({TubState.CLOSED, TubState.RETIRED})
# Replacing as much counts as a change of all water. Own choice.
WHOLE: Final = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Openings:
    """`opened_on` is the day of the last opening; coming back from a pause is none.

    `refilled_on` is that day where the tub was drained before: the first opening on record may be
    that of a tub which held its water long before. `drained_on` is the day since which it holds
    none, None where it holds water now.
    """

    opened_on: date | None
    refilled_on: date | None
    drained_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterSeason:
    """The water of a tub as the logbook knows it.

    Attributes
    ----------
    drained
        The tub holds no water now.
    renewed_at
        When all water was last new: by a fill, a tick of its task, or the opening; None where
        nobody knows.
    tests_from
        From when a test is one of this water; a change that is a step of the plan leaves the test
        that it stands on.
    touched_at
        When a dose or fresh water last went in.
    """

    drained: bool
    renewed_at: datetime | None
    tests_from: datetime | None
    touched_at: datetime | None


def season_in(
    connection: Connection, tub: TubId, profile: TubProfile, now: datetime
) -> WaterSeason:
    """Return what is on record about the water of a tub."""
    found = openings_in(connection, tub)
    asked = {"of": tub, "until": now}
    litres = WHOLE * profile.volume_l
    filled, apart = (
        connection.execute(each, asked | {"litres": litres}).scalar()
        for each in (ask.FILLED, ask.FILLED_APART)
    )
    ticked = connection.execute(ask.CHANGED, asked).scalar()
    opened, refilled = (
        None if day is None else start_of(day, profile.zone)
        for day in (found.opened_on, found.refilled_on)
    )
    touched = (connection.execute(each, asked).scalar() for each in ask.TOUCHED)
    return WaterSeason(
        drained=found.drained_on is not None,
        renewed_at=_newest(filled, ticked, opened),
        tests_from=_newest(apart, ticked, refilled),
        touched_at=_newest(*touched),
    )


def _newest(*instants: datetime | None) -> datetime | None:
    return max((at for at in instants if at is not None), default=None)


def openings_in(connection: Connection, tub: TubId) -> Openings:
    """Return when a tub was opened, by what is on record."""
    rows = connection.execute(ask.STATES, {"of": tub})
    return openings_of([(row.on_date, TubState(row.state)) for row in rows])


def openings_of(states: Iterable[tuple[date, TubState]]) -> Openings:
    """Return when a tub was opened, by its changes of state in their order."""
    opened: date | None = None
    refilled: date | None = None
    drained_on: date | None = None
    first = True
    for on, state in states:
        if state is TubState.OPEN and (drained_on is not None or first):
            opened = on
            refilled = None if drained_on is None else on
        drained_on, first = (drained_on or on) if state in DRAINED else None, False
    return Openings(opened_on=opened, refilled_on=refilled, drained_on=drained_on)
