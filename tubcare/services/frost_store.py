"""How frost choices and the dates that follow from them lie in the logbook."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.care.profile import is_southern
from tubcare.energy.frost_dates import SeasonStart
from tubcare.energy.frost_plan import FrostChoices, dates_by_risk, season_start_of
from tubcare.services.topics import Topic
from tubcare.services.weather_store import Purpose, kept_weather, minima_of
from tubcare.store.tables import FrostPlanRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from tubcare.energy.frost_dates import DailyMinima
    from tubcare.services.power_build import TubBuild
    from tubcare.store.unit import Unit
    from tubcare.values import MonthDay, TubId, TubProfile

FROST_TOPICS = frozenset({Topic.TUBS, Topic.UPKEEP, Topic.TASKS, Topic.REMINDERS})


def season_start(profile: TubProfile, minima: DailyMinima | None = None) -> SeasonStart:
    """Return the month with which a frost season begins: by the minima, else by the latitude."""
    usual = SeasonStart.SOUTH if is_southern(profile) else SeasonStart.NORTH
    return usual if minima is None else season_start_of(minima) or usual


def kept_plan(connection: Connection, tub: TubId) -> tuple[dict[str, Any], list[Any], int | None]:
    """Return choices, dates and id of a tub's frost plan; empty when there is none."""
    table = table_of(FrostPlanRow)
    row = connection.execute(select(table).where(table.c.tub_id == tub)).first()
    return ({}, [], None) if row is None else (row.choices, row.dates, row.id)


def stored_choices(connection: Connection, tub: TubId) -> FrostChoices:
    """Return what was chosen about frost at a tub, the usual choices until then."""
    data, _dates, _id = kept_plan(connection, tub)
    known = {each.name for each in fields(FrostChoices)}
    return FrostChoices(**{name: value for name, value in data.items() if name in known})


def stored_minima(connection: Connection, tub: TubId) -> DailyMinima | None:
    """Return the daily minima that were imported for a tub, None when there are none."""
    kept = kept_weather(connection, tub, Purpose.FROST)
    return None if kept is None else minima_of(kept)


def keep_frost_plan(
    unit: Unit, build: TubBuild, choices: FrostChoices, minima: DailyMinima | None
) -> None:
    """Keep choices and the dates that follow from them; without minima typed dates stay.

    Raises
    ------
    InputError
        When the minima hold fewer than three winters.
    """
    _data, dates, _id = kept_plan(unit.connection, build.place.id)
    if minima is not None:
        dates = [
            {
                "risk_percent": each.risk_percent,
                "watch_from": each.watch_from and list(each.watch_from),
                "dry_by": each.dry_by and list(each.dry_by),
            }
            for each in dates_by_risk(minima, choices, start=season_start(build.profile, minima))
        ]
    _keep(unit, build.place.id, choices, dates)


def keep_typed_dates(
    unit: Unit, tub: TubId, choices: FrostChoices, watch_from: MonthDay, dry_by: MonthDay
) -> None:
    """Keep two dates that a person knows; they have no risk."""
    dates = [
        {
            "risk_percent": None,
            "watch_from": [watch_from.month, watch_from.day],
            "dry_by": [dry_by.month, dry_by.day],
        }
    ]
    _keep(unit, tub, choices, dates)


def _keep(unit: Unit, tub: TubId, choices: FrostChoices, dates: list[Any]) -> None:
    _data, _dates, row_id = kept_plan(unit.connection, tub)
    data = {each.name: getattr(choices, each.name) for each in fields(FrostChoices)}
    if row_id is None:
        unit.add(FrostPlanRow, tub_id=tub, choices=data, dates=dates)
    else:
        unit.change(FrostPlanRow, row_id, choices=data, dates=dates)
