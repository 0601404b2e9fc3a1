"""What freezes when, if the power fails tonight."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from sqlalchemy import select

from tubcare.care.timeline import holds_water
from tubcare.energy.freezing_range import power_cut
from tubcare.services import fields
from tubcare.services.moments import happened_at
from tubcare.services.power_build import build_catalogue, power_plan, read_build
from tubcare.services.power_days import states_of
from tubcare.services.power_learned import learned_from
from tubcare.store.tables import ReadingRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.energy.power_cut import PowerCut
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.values import TubId

WATER_MEMORY = timedelta(days=3)
USUAL_NIGHT_C = -5.0
_COLDEST_NIGHT_C, _WARMEST_NIGHT_C = -60.0, 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tonight:
    """Hours until hose, pump and tub stand at 0 °C without power, and what that rests on.

    The tub is taken as it was learned to be from meter or drift test, where it was.
    `measured_at` is None when the water temperature is the set point, for want of a reading;
    `drained` says that the tub holds no water now: then the hours are those of a filled one.
    """

    tub: TubPlace
    air_c: float
    water_c: float
    measured_at: datetime | None
    drained: bool
    cut: PowerCut


def if_power_fails_tonight(
    desk: Desk, tub: TubId | str | None = None, *, air_c: float = USUAL_NIGHT_C
) -> Tonight:
    """Return how long hose, pump and tub have at an air temperature, hose and pump uninsulated.

    Parameters
    ----------
    desk
        The open logbook.
    tub
        By id or name; the only one when None.
    air_c
        Air temperature that is expected. [°C], -60..40

    Raises
    ------
    OutOfRangeError
        When the air temperature cannot be right.
    """
    fields.quantity("air_c", air_c, _COLDEST_NIGHT_C, _WARMEST_NIGHT_C)
    with desk.read() as connection:
        build = read_build(connection, tub)
        kept = power_plan(connection, build.place.id).get("drift", {})
        today, now = happened_at(desk, build.place.zone, None)
        states = states_of(connection, build.place.id)
        found = newest_water(connection, build.place.id, now)
    water_c, measured_at = found or (build.described.set_point_c, None)
    described = build.tub(build_catalogue())
    learned = learned_from(kept, build, described)
    tub_now = learned.applied(described)
    cut = power_cut(tub_now, learned.spread, water_c=water_c, air_c=air_c)
    return Tonight(
        tub=build.place,
        air_c=air_c,
        water_c=water_c,
        measured_at=measured_at,
        drained=not holds_water(state for day, state in states if day <= today),
        cut=cut,
    )


def newest_water(
    connection: Connection, tub: TubId, now: datetime
) -> tuple[float, datetime] | None:
    """Return the newest water temperature of the last three days [°C] and when it was read."""
    table = table_of(ReadingRow)
    row = connection.execute(
        select(table.c.value, table.c.at)
        .where(
            table.c.tub_id == tub,
            table.c.quantity == "water_c",
            table.c.at >= now - WATER_MEMORY,
            table.c.at <= now,
        )
        .order_by(table.c.at.desc(), table.c.id.desc())
        .limit(1)
    ).first()
    return None if row is None else (min(max(row.value, 0.0), 40.0), row.at)
