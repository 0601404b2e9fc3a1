"""What the water did to the liner since it was last looked at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.care.model import ElapsedTrigger
from tubcare.services import water_statements as ask
from tubcare.services.measures import tub_named
from tubcare.services.moments import start_of
from tubcare.services.ranges import profile_in
from tubcare.services.water_samples import MEMORY, samples_in
from tubcare.services.water_season import openings_in
from tubcare.water.exposure import LINER_WINDOWS, ExposurePoint, exposure_since

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.care.model import Closing, Task
    from tubcare.services.desk import Desk
    from tubcare.services.facts import TubRecord
    from tubcare.services.measures import TubPlace
    from tubcare.services.water_samples import Sample
    from tubcare.values import Liner, TubId
    from tubcare.water.exposure import Exposure, LinerWindow

_DAY_S = 86_400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LinerExposure:
    """Exposure since the last inspection, or since the opening where there was none.

    `since` None where the tub was neither inspected nor opened: then nothing is summed.
    """

    liner: Liner
    window: LinerWindow
    since: datetime | None
    inspected: bool
    exposure: Exposure | None


def liner_exposure(desk: Desk, tub: TubId | str | None = None) -> LinerExposure:
    """Return what the water did to the liner since it was last looked at."""
    now = desk.now()
    with desk.read() as connection:
        place = tub_named(connection, tub)
        liner = profile_in(connection, place.id).liner
        since, inspected = _since(connection, place.id, place.zone)
        exposure = None
        if since is not None:
            exposure = _exposure(connection, place, liner, since, now)
    return LinerExposure(
        liner=liner,
        window=LINER_WINDOWS[liner],
        since=since,
        inspected=inspected,
        exposure=exposure,
    )


def inspection_percent(
    connection: Connection,
    record: TubRecord,
    task: Task,
    closing: Closing | None,
    now: datetime,
) -> float | None:
    """Return how far the way to the next inspection has come, shortened by what happened [%].

    None where the task has no interval, or nobody knows since when to count.
    """
    every = next((t.every for t in task.triggers if isinstance(t, ElapsedTrigger)), None)
    if every is None:
        return None
    if closing is not None:
        since: datetime | None = start_of(closing.on, record.zone)
    else:
        since, _inspected = _since(connection, record.id, record.zone)
    if since is None or since >= now:
        return None
    exposure = _exposure(connection, record, record.profile.liner, since, now)
    days = (now - since).total_seconds() / _DAY_S
    whole = every.days
    return 100.0 * days / (whole * exposure.inspection_share)


def points_of(samples: tuple[Sample, ...]) -> list[ExposurePoint]:
    """Return readings as the liner felt them."""
    found = []
    for sample in samples:
        values = {name: seen.value for name, seen in sample.values.items()}
        found.append(
            ExposurePoint(
                at=sample.at,
                ph=values.get("ph"),
                chloride_mg_l=values.get("chloride_mg_l"),
                free_chlorine_mg_l=values.get("free_chlorine_mg_l"),
            )
        )
    return found


def _exposure(
    connection: Connection,
    tub: TubPlace | TubRecord,
    liner: Liner,
    since: datetime,
    now: datetime,
) -> Exposure:
    """Return what the water did to the liner; a tub that is dry now was exposed until it was."""
    drained_on = openings_in(connection, tub.id).drained_on
    until = now if drained_on is None else min(now, start_of(drained_on, tub.zone))
    start = min(max(since, now - MEMORY), until)
    samples = samples_in(connection, tub.id, since=start, until=until)
    return exposure_since(
        points_of(samples), window=LINER_WINDOWS[liner], since=start, until=until
    )


def _since(connection: Connection, tub: TubId, zone: str) -> tuple[datetime | None, bool]:
    """Return the start of the day of the last inspection, else that of the opening."""
    looked = connection.execute(ask.LINER_SEEN, {"of": tub}).scalar()
    if looked is not None:
        return start_of(looked, zone), True
    opened = openings_in(connection, tub).opened_on
    return (None if opened is None else start_of(opened, zone)), False
