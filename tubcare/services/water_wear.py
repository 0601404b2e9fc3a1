"""What the water has been through since it was changed: bathers, cyanurate, salts, age."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from tubcare.services import water_statements as ask
from tubcare.services.measures import tub_named
from tubcare.services.water_samples import ground_in
from tubcare.values import Sanitiser
from tubcare.water.change import ChangeLimits, WaterHistory, weigh_change
from tubcare.water.combined import FRESH_WATER_L_PER_BATHER
from tubcare.water.ranges import Quantity

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk
    from tubcare.services.ranges import TubRange
    from tubcare.services.water_samples import Ground
    from tubcare.values import TubId
    from tubcare.water.change import ChangeAdvice

_DAY_S: Final = 86_400.0
_WEEK: Final = timedelta(days=7)
# With a sanitiser, a private cold tub: a dip for each 4 L, and two months. Common practice, no
# source; the care plan's task for changing the water stands on the same numbers.
_LITRES_PER_DIP: Final = 4.0
_AGE_DAYS: Final = 61.0
# Administrative Rules of Montana 37.115: fill water plus 1500 mg/L.
_SOLIDS_OVER_FILL_MG_L: Final = 1500.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterWear:
    """The weights of a change of water.

    `since` is the last whole fill, None where none is on record; `newest` the instant of the
    newest fact that counts. `topped_up_week_l` went in during the last seven days: under a lid
    nearly nothing evaporates, so it tells of a leak. [L]
    """

    since: datetime | None
    newest: datetime | None
    dips: int
    refilled_l: float
    topped_up_week_l: float
    volume_l: float
    advice: ChangeAdvice


def water_wear(desk: Desk, tub: TubId | str | None = None) -> WaterWear:
    """Return what the water of a tub has been through."""
    now = desk.now()
    with desk.read() as connection:
        place = tub_named(connection, tub)
        return wear_in(connection, ground_in(connection, place.id, now), now)


def wear_in(connection: Connection, ground: Ground, now: datetime) -> WaterWear:
    """Return what the water has been through, inside a running transaction."""
    volume = ground.profile.volume_l
    since = ground.season.renewed_at
    dips, last_dip = _dips(connection, ground.tub, since, now)
    refilled = _refilled(connection, ground.tub, since, now)
    # An opening may be on record for later today: the water is new then.
    age = None if since is None else max(0.0, (now - since).total_seconds() / _DAY_S)
    found = ground.completed_or_none()
    advice = weigh_change(
        WaterHistory(volume_l=volume, bathers=dips, refilled_l=refilled, age_days=age),
        test=None if found is None else found.middle,
        fill=ground.fill,
        limits=_limits(ground.profile.sanitiser, ground.ranges),
    )
    return WaterWear(
        since=since,
        newest=max((t for t in (last_dip, ground.tested_at) if t is not None), default=None),
        dips=dips,
        refilled_l=refilled,
        topped_up_week_l=topped_up_in(connection, ground.tub, now)[0],
        volume_l=volume,
        advice=advice,
    )


def topped_up_in(
    connection: Connection, tub: TubId, now: datetime
) -> tuple[float, datetime | None]:
    """Return what was topped up in the last seven days [L], and when last."""
    asked = {"of": tub, "since": now - _WEEK, "until": now}
    row = connection.execute(ask.TOPPED_UP, asked).one()
    return float(row[0]), row[1]


def _limits(sanitiser: Sanitiser, ranges: Mapping[Quantity, TubRange]) -> ChangeLimits:
    cyanurate, chloride = ranges.get(Quantity.CYANURIC_ACID), ranges.get(Quantity.CHLORIDE)
    bare = sanitiser is Sanitiser.FREQUENT_CHANGE
    return ChangeLimits(
        litres_per_bather=FRESH_WATER_L_PER_BATHER if bare else _LITRES_PER_DIP,
        solids_over_fill_mg_l=_SOLIDS_OVER_FILL_MG_L,
        cyanuric_acid_mg_l=None if cyanurate is None else cyanurate.limits.high,
        chloride_mg_l=None if chloride is None else chloride.limits.high,
        age_days=3.0 if bare else _AGE_DAYS,
    )


def _refilled(connection: Connection, tub: TubId, since: datetime | None, now: datetime) -> float:
    asked = {"of": tub, "since": since, "until": now}
    statement = ask.REFILLED if since is None else ask.REFILLED_SINCE
    return float(connection.execute(statement, asked).scalar_one())


def _dips(
    connection: Connection, tub: TubId, since: datetime | None, now: datetime
) -> tuple[int, datetime | None]:
    asked = {"of": tub, "since": since, "until": now}
    row = connection.execute(ask.DIPS if since is None else ask.DIPS_SINCE, asked).one()
    return int(row[0]), row[1]
