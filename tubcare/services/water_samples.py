"""What was read from the water, newest first: the ground of all that is said about it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from tubcare.errors import InputError, OutOfRangeError
from tubcare.services import water_statements as ask
from tubcare.services.moments import start_of
from tubcare.services.ranges import profile_in, ranges_in
from tubcare.services.water_carried import went_in
from tubcare.services.water_kit import fill_test_in
from tubcare.services.water_season import season_in
from tubcare.water.carried import carried
from tubcare.water.completed import Completed, completed
from tubcare.water.judged import FIELD_OF_READING, OF_THE_WATER, READING_OF, Sighting
from tubcare.water.strips import Band

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime

    from sqlalchemy import Connection, Row

    from tubcare.services.ranges import TubRange
    from tubcare.services.water_season import WaterSeason
    from tubcare.values import TubId, TubProfile
    from tubcare.water.ranges import Quantity
    from tubcare.water.reading import WaterTest

MEMORY = timedelta(days=400)
# A thermometer reading holds for a day; then the set point tells more. Own choice.
_TEMPERATURE_HOLDS = timedelta(days=1)
_COLDEST_C, _WARMEST_C = 0.0, 35.0
_COMBINED = "combined_chlorine_mg_l"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """All that the water of one tub is judged by, read in one transaction.

    `sightings` holds the newest value of each quantity, of the water that is in the tub now;
    `measured_c` says whether `water_c` was read and not taken from the set point; `carried` what
    moved by what went in since it was read.
    """

    tub: TubId
    profile: TubProfile
    ranges: Mapping[Quantity, TubRange]
    sightings: Mapping[str, Sighting]
    fill: WaterTest | None
    carried: Mapping[str, float]
    water_c: float
    measured_c: bool
    wait_until: datetime | None
    season: WaterSeason

    def completed(self) -> Completed | None:
        """Return the newest values as one test, None without a pH of the last days.

        Raises
        ------
        InputError
            Where the values contradict each other, or no water can be like that.
        """
        try:
            return completed(
                self.sightings,
                water_c=self.water_c,
                aims=self.aims(),
                fill=self.fill,
                carried=self.carried,
            )
        except OutOfRangeError as error:
            raise InputError(error.name, str(error)) from error

    def completed_or_none(self) -> Completed | None:
        """Return the test; None also where its values contradict each other."""
        try:
            return self.completed()
        except InputError:
            return None

    @property
    def tested_at(self) -> datetime | None:
        """Instant of the newest value that belongs to a test, None where there is none."""
        return _tested_at(self.sightings)

    def aims(self) -> dict[str, float]:
        """Return the aim of each range by field of a test."""
        found = {}
        for quantity, each in self.ranges.items():
            field = FIELD_OF_READING.get(READING_OF[quantity])
            if field is not None:
                found[field] = each.limits.target
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """Values that were read together."""

    at: datetime
    on: date
    values: Mapping[str, Sighting]
    note: str


def ground_in(connection: Connection, tub: TubId, now: datetime) -> Ground:
    """Return what the water of a tub is judged by."""
    profile = profile_in(connection, tub)
    season = season_in(connection, tub, profile, now)
    sightings = _of_this_water(newest_in(connection, tub, now), season, profile.zone)
    water_c, measured_c = _temperature(sightings, profile, _tested_at(sightings) or now)
    fill = fill_test_in(connection, tub)
    return Ground(
        tub=tub,
        profile=profile,
        ranges=ranges_in(connection, tub, profile),
        sightings=sightings,
        fill=fill,
        carried=_carried(connection, tub, profile, sightings, fill, season),
        water_c=water_c,
        measured_c=measured_c,
        wait_until=wait_in(connection, tub, now),
        season=season,
    )


def _tested_at(sightings: Mapping[str, Sighting]) -> datetime | None:
    found = [each.at for name, each in sightings.items() if name in FIELD_OF_READING]
    return max(found, default=None)


def _carried(
    connection: Connection,
    tub: TubId,
    profile: TubProfile,
    sightings: Mapping[str, Sighting],
    fill: WaterTest | None,
    season: WaterSeason,
) -> dict[str, float]:
    """Return what moved until the newest test; what goes in after it is for the next one."""
    until = _tested_at(sightings)
    since = season.renewed_at
    if until is None:
        return {}
    events = went_in(connection, tub, profile.volume_l, since=since or until - MEMORY, until=until)
    return carried(sightings, events, fill=fill, renewed_at=since)


def _of_this_water(
    sightings: dict[str, Sighting], season: WaterSeason, zone: str
) -> dict[str, Sighting]:
    """Leave out what was read of the water before the last change of all of it.

    By days: whether the test or the change of one day was first, the logbook cannot always tell.
    """
    if season.tests_from is None:
        return sightings
    since = start_of(season.tests_from.astimezone(ZoneInfo(zone)).date(), zone)
    return {
        name: seen
        for name, seen in sightings.items()
        if seen.at >= since or name not in OF_THE_WATER
    }


def newest_in(connection: Connection, tub: TubId, now: datetime) -> dict[str, Sighting]:
    """Return the newest value of each quantity, combined chlorine worked out with the others."""
    rows = connection.execute(ask.NEWEST, {"of": tub, "since": now - MEMORY, "until": now})
    found = {row.quantity: _sighting(row) for row in rows}
    free, total = found.get("free_chlorine_mg_l"), found.get("total_chlorine_mg_l")
    if free is None or total is None:
        return found
    together = _combined(free, total)
    if together is None:
        # The newest two do not belong together: an older pair may.
        older = samples_in(connection, tub, since=now - MEMORY, until=now)
        pairs = (each.values.get(_COMBINED) for each in older)
        together = next((each for each in pairs if each is not None), None)
    known = found.get(_COMBINED)
    if together is not None and (known is None or known.at < together.at):
        found[_COMBINED] = together
    return found


def samples_in(
    connection: Connection, tub: TubId, *, since: datetime, until: datetime
) -> tuple[Sample, ...]:
    """Return what was read between two instants, newest first, combined chlorine worked out."""
    stored = stored_in(connection, tub, since=since, until=until)
    return tuple(replace(each, values=_with_combined(each.values)) for each in stored)


def stored_in(
    connection: Connection, tub: TubId, *, since: datetime, until: datetime
) -> tuple[Sample, ...]:
    """Return what was written down between two instants, newest first."""
    rows = connection.execute(ask.SAMPLES, {"of": tub, "since": since, "until": until})
    values: dict[datetime, dict[str, Sighting]] = defaultdict(dict)
    days: dict[datetime, tuple[date, str]] = {}
    for row in rows:
        values[row.at][row.quantity] = _sighting(row)
        days[row.at] = (row.on_date, row.note)
    return tuple(
        Sample(at=at, on=days[at][0], values=found, note=days[at][1])
        for at, found in reversed(values.items())
    )


def wait_in(connection: Connection, tub: TubId, now: datetime) -> datetime | None:
    """Return until when the newest dose or step keeps a reading from counting, None if over."""
    asked = {"of": tub, "until": now}
    found = (connection.execute(each, asked).scalar() for each in ask.WAITS)
    return max((until for until in found if until is not None), default=None)


def _with_combined(values: Mapping[str, Sighting]) -> Mapping[str, Sighting]:
    free, total = values.get("free_chlorine_mg_l"), values.get("total_chlorine_mg_l")
    if free is None or total is None or _COMBINED in values:
        return values
    combined = _combined(free, total)
    return values if combined is None else {**values, _COMBINED: combined}


def _combined(free: Sighting, total: Sighting) -> Sighting | None:
    """Return the combined chlorine of two values read together; a strip is too coarse for it."""
    if free.at != total.at or free.band is not None or total.band is not None:
        return None
    return Sighting(value=max(0.0, round(total.value - free.value, 3)), at=total.at)


def _sighting(row: Row[*tuple[Any, ...]]) -> Sighting:
    band = None if row.low is None else Band(low=row.low, high=row.high)
    return Sighting(value=row.value, at=row.at, band=band)


def _temperature(
    sightings: Mapping[str, Sighting], profile: TubProfile, at: datetime
) -> tuple[float, bool]:
    """Return the temperature at the newest test, so that its plan stands while its steps are done.

    Read within a day of it, else the set point.
    """
    seen = sightings.get("water_c")
    fresh = seen is not None and at - seen.at <= _TEMPERATURE_HOLDS
    value = seen.value if seen is not None and fresh else profile.set_point_c
    return min(max(value, _COLDEST_C), _WARMEST_C), fresh
