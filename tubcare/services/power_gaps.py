"""Finds the days whose power has to be estimated, without loading what estimates it."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from sqlalchemy import select

from tubcare.services.measures import tub_named
from tubcare.services.power_days import Mode, Stretch, states_of, stretches
from tubcare.services.power_estimates import estimates_of, metered_days
from tubcare.services.weather_store import Purpose
from tubcare.store.tables import WeatherRow
from tubcare.store.unit import table_of
from tubcare.values import TubId

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import Connection

    from tubcare.services.desk import Desk

_ONE_DAY = timedelta(days=1)
# An older estimate is of no use to anybody, and a slip in a date must not fill decades.
_FARTHEST_BACK = timedelta(days=800)
_MODELLED = (Purpose.POWER.value, Purpose.TYPICAL.value)


def tubs_to_estimate(desk: Desk) -> tuple[TubId, ...]:
    """Return the tubs with weather that have days without meter or estimate."""
    table = table_of(WeatherRow)
    with desk.read() as connection:
        found = connection.execute(
            select(table.c.tub_id)
            .where(table.c.purpose.in_(_MODELLED))
            .distinct()
            .order_by(table.c.tub_id)
        ).scalars()
        tubs = tuple(TubId(tub) for tub in found)
        return tuple(tub for tub in tubs if open_days(connection, desk, tub)[1])


def open_days(
    connection: Connection, desk: Desk, tub: TubId
) -> tuple[Sequence[Stretch], frozenset[date]]:
    """Return what ran up to yesterday, and its days that neither meter nor estimate covers."""
    states = states_of(connection, tub)
    zone = tub_named(connection, tub).zone
    # Looking at another day, as `--today` does, must not write what has not happened.
    real = desk.clock.now().astimezone(ZoneInfo(zone)).date()
    yesterday = min(desk.today(zone), real) - _ONE_DAY
    if not states or states[0][0] > yesterday:
        return (), frozenset()
    first = max(states[0][0], yesterday - _FARTHEST_BACK)
    ran = stretches(states, first, yesterday)
    covered = metered_days(connection, tub) | {
        day for each in estimates_of(connection, tub) for day in each.days()
    }
    running = {day for each in ran if each.mode is not Mode.OFF for day in days_of(each)}
    return ran, frozenset(running - covered)


def days_of(stretch: Stretch) -> list[date]:
    """Return every day of a stretch."""
    count = (stretch.last - stretch.first).days + 1
    return [stretch.first + _ONE_DAY * n for n in range(count)]
