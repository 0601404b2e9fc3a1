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
class WaterSeason:
    """The water of a tub as the logbook knows it.

    Attributes
    ----------
    opened_on
        Day of the last opening; coming back from a pause fills nothing.
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

    opened_on: date | None
    drained: bool
    renewed_at: datetime | None
    tests_from: datetime | None
    touched_at: datetime | None


def season_in(
    connection: Connection, tub: TubId, profile: TubProfile, now: datetime
) -> WaterSeason:
    """Return what is on record about the water of a tub."""
    opened, drained = opened_in(connection, tub)
    asked = {"of": tub, "until": now}
    litres = WHOLE * profile.volume_l
    filled, apart = (
        connection.execute(each, asked | {"litres": litres}).scalar()
        for each in (ask.FILLED, ask.FILLED_APART)
    )
    ticked = connection.execute(ask.CHANGED, asked).scalar()
    start = None if opened is None else start_of(opened, profile.zone)
    touched = (connection.execute(each, asked).scalar() for each in ask.TOUCHED)
    return WaterSeason(
        opened_on=opened,
        drained=drained,
        renewed_at=_newest(filled, ticked, start),
        tests_from=_newest(apart, ticked, start),
        touched_at=_newest(*touched),
    )


def _newest(*instants: datetime | None) -> datetime | None:
    return max((at for at in instants if at is not None), default=None)


def opened_in(connection: Connection, tub: TubId) -> tuple[date | None, bool]:
    """Return the day of the last opening, and whether the tub is drained now."""
    rows = connection.execute(ask.STATES, {"of": tub})
    return last_opening([(row.on_date, TubState(row.state)) for row in rows])


def last_opening(states: Iterable[tuple[date, TubState]]) -> tuple[date | None, bool]:
    """Return the day of the last opening among changes of state, and whether it is drained now.

    Coming back from a pause is none.
    """
    opened: date | None = None
    drained, first = False, True
    for on, state in states:
        if state is TubState.OPEN and (drained or first):
            opened = on
        drained, first = state in DRAINED, False
    return opened, drained
