"""Frost at a tub: from when to watch, by when to be dry, what freezes first in a power cut."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from tubcare.care.timeline import holds_water
from tubcare.energy.frost_dates import date_in_season
from tubcare.energy.frost_plan import FrostChoices, frost_plan, season_of
from tubcare.errors import InputError
from tubcare.services.frost_seasons import (
    ChancePoint,
    SeasonFrosts,
    chances,
    recorded_seasons,
)
from tubcare.services.frost_store import (
    FROST_TOPICS,
    keep_frost_plan,
    keep_typed_dates,
    kept_plan,
    season_start,
    stored_choices,
    stored_minima,
)
from tubcare.services.power_build import read_build
from tubcare.services.power_days import states_of
from tubcare.services.weather_store import Purpose, kept_weather, minima_of
from tubcare.values import MonthDay

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.energy.first_frost import PlanDate
    from tubcare.energy.frost_dates import SeasonStart
    from tubcare.energy.frost_risk import RiskDate
    from tubcare.services.desk import Desk
    from tubcare.services.measures import TubPlace
    from tubcare.services.weather_store import KeptWeather
    from tubcare.values import TubId


class FrostSource(StrEnum):
    """Where the dates come from."""

    NONE = "none"
    MEASURED = "measured"
    TYPED = "typed"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedDate:
    """A date to plan by. `earliest` and `latest` bound it; `rests_on` is None for a typed one."""

    on: date | None
    earliest: date | None = None
    latest: date | None = None
    rests_on: RiskDate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Frost:
    """What is known about frost at a tub.

    `watching` says that the tub holds water and "watch from" has come in this frost season.
    """

    tub: TubPlace
    today: date
    choices: FrostChoices
    source: FrostSource
    weather: KeptWeather | None = None
    watch_from: PlannedDate | None = None
    dry_by: PlannedDate | None = None
    watch_until: PlannedDate | None = None
    watching: bool = False
    seasons: tuple[SeasonFrosts, ...] = ()
    chances: tuple[ChancePoint, ...] = ()


def frost(desk: Desk, tub: TubId | str | None = None) -> Frost:
    """Return what is known about frost at a tub, for the frost season that holds today.

    Once "watch until" has passed it is the next season.

    Raises
    ------
    NotFoundError, InputError
        When there is no such tub, or several to choose from.
    """
    with desk.read() as connection:
        build = read_build(connection, tub)
        place = build.place
        today = desk.today(place.zone)
        choices = stored_choices(connection, place.id)
        _data, dates, _id = kept_plan(connection, place.id)
        full = holds_water(state for day, state in states_of(connection, place.id) if day <= today)
        kept = kept_weather(connection, place.id, Purpose.FROST)
    if dates and dates[0]["risk_percent"] is None:
        return _typed(
            place,
            today,
            choices,
            dates[0],
            full=full,
            start=season_start(build.profile),
        )
    if kept is None:
        return Frost(tub=place, today=today, choices=choices, source=FrostSource.NONE)
    minima = minima_of(kept)
    start = season_start(build.profile, minima)
    season = season_of(today, start)
    plan = frost_plan(minima, choices, season=season, start=start)
    until = _planned(season, plan.watch_until, math.ceil)
    if until.on is not None and until.on < today:
        # Spring is over: what is asked for from now on is the coming autumn.
        season += 1
        plan = frost_plan(minima, choices, season=season, start=start)
        until = _planned(season, plan.watch_until, math.ceil)
    watch = _planned(season, plan.watch_from, math.floor)
    dry = _planned(season, plan.dry_by, math.floor, choices.lead_days)
    return Frost(
        tub=place,
        today=today,
        choices=choices,
        source=FrostSource.MEASURED,
        weather=kept,
        watch_from=watch,
        dry_by=dry,
        watch_until=until,
        watching=full and _within(today, watch.on, until.on),
        seasons=recorded_seasons(minima, choices, start),
        chances=chances(minima, choices, start, season, (watch.on, dry.on)),
    )


def choose_frost(desk: Desk, tub: TubId | str | None, choices: FrostChoices) -> TubPlace:
    """Keep risks, level, site offset and lead days; the dates are worked out anew.

    Raises
    ------
    OutOfRangeError
        When a choice lies outside its range; then nothing is written.
    """
    with desk.read() as connection:
        build = read_build(connection, tub)
    with desk.write("choose_frost", build.place.name, FROST_TOPICS) as unit:
        minima = stored_minima(unit.connection, build.place.id)
        keep_frost_plan(unit, build, choices, minima)
    return build.place


def type_frost_dates(
    desk: Desk, tub: TubId | str | None, *, watch_from: MonthDay, dry_by: MonthDay
) -> TubPlace:
    """Keep two dates that a person knows, from a weather service or from living there.

    Raises
    ------
    InputError
        When "dry by" comes before "watch from", or a date is in no year.
    """
    with desk.read() as connection:
        build = read_build(connection, tub)
    start = season_start(build.profile)
    try:
        first, second = (day_in_season(day, 2025, start) for day in (watch_from, dry_by))
    except ValueError as error:
        raise InputError("watch_from", "write a day that every year has") from error
    if second < first:
        raise InputError("dry_by", "the day to be dry by lies before the watch begins; swap them?")
    with desk.write("type_frost_dates", build.place.name, FROST_TOPICS) as unit:
        choices = stored_choices(unit.connection, build.place.id)
        keep_typed_dates(unit, build.place.id, choices, watch_from, dry_by)
    return build.place


def _typed(
    place: TubPlace,
    today: date,
    choices: FrostChoices,
    dates: dict[str, Any],
    *,
    full: bool,
    start: SeasonStart,
) -> Frost:
    season = season_of(today, start)
    watch, dry = (
        day_in_season(MonthDay(month=dates[name][0], day=dates[name][1]), season, start)
        for name in ("watch_from", "dry_by")
    )
    return Frost(
        tub=place,
        today=today,
        choices=choices,
        source=FrostSource.TYPED,
        watch_from=PlannedDate(on=watch),
        dry_by=PlannedDate(on=dry),
        watching=full and watch <= today,
    )


def day_in_season(day: MonthDay, season: int, start: SeasonStart) -> date:
    """Return a day of the year within the season that began in the year `season`."""
    year = season if day.month >= start else season + 1
    if (day.month, day.day) == (2, 29):
        day = MonthDay(month=2, day=28)
    return date(year, day.month, day.day)


def _planned(
    season: int, found: PlanDate, whole: Callable[[float], int], lead_days: int = 0
) -> PlannedDate:
    """Return a date with the range that bounds it, made whole days as the date itself was."""

    def at(day: float | None) -> date | None:
        return None if day is None else date_in_season(season, whole(day) - lead_days)

    rests_on = found.rests_on
    return PlannedDate(
        on=found.on, earliest=at(rests_on.earliest), latest=at(rests_on.latest), rests_on=rests_on
    )


def _within(today: date, first: date | None, last: date | None) -> bool:
    return first is not None and first <= today and (last is None or today <= last)
