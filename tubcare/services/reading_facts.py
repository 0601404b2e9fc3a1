"""The newest readings as what is due sees them: of the water that is in the tub."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from tubcare.care.facts import Reading
from tubcare.services import fact_statements as ask
from tubcare.services.water_season import WHOLE, openings_of
from tubcare.values import TubId
from tubcare.water.judged import OF_THE_WATER

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date, datetime

    from sqlalchemy import Connection, CursorResult, Select

    from tubcare.care.model import StateChange
    from tubcare.values import TubProfile

_READING_MEMORY = timedelta(days=400)
_SETTLING_MEMORY = timedelta(days=7)


def newest_readings(
    connection: Connection, now: datetime, only: TubId | None
) -> dict[TubId, dict[str, Reading]]:
    """Return the newest reading of each quantity by tub, combined chlorine worked out."""
    found: dict[TubId, dict[str, Reading]] = defaultdict(dict)
    since = now - _READING_MEMORY
    for row in asked(connection, ask.READINGS, ask.ONE_TUBS_READINGS, only, since=since):
        found[TubId(row.tub_id)][row.quantity] = Reading(
            quantity=row.quantity,
            value=row.value,
            taken_on=row.on_date,
            taken_at=row.at,
            band=None if row.low is None else (row.low, row.high),
        )
    for readings in found.values():
        _combine(readings)
    return found


def _combine(readings: dict[str, Reading]) -> None:
    """Work out the combined chlorine where free and total were read together."""
    free, total = readings.get("free_chlorine_mg_l"), readings.get("total_chlorine_mg_l")
    known = readings.get("combined_chlorine_mg_l")
    if free is None or total is None or free.taken_at != total.taken_at:
        return
    if free.band is not None or total.band is not None:
        return  # A strip is too coarse for the difference.
    if known is None or known.taken_at < total.taken_at:
        readings["combined_chlorine_mg_l"] = replace(
            total,
            quantity="combined_chlorine_mg_l",
            value=max(0.0, round(total.value - free.value, 3)),
        )


def settling(connection: Connection, now: datetime) -> dict[TubId, datetime]:
    """Return until when the newest dose of each tub mixes and reacts."""
    rows = connection.execute(ask.SETTLING, {"since": now - _SETTLING_MEMORY})
    return {TubId(row.tub_id): row.until for row in rows}


def large_fills(
    connection: Connection, now: datetime
) -> dict[TubId, tuple[tuple[float, datetime], ...]]:
    """Return the litres and instants of the fresh water of each tub, top-ups left out.

    So are changes that are a step of a plan: it still stands on the test before.
    """
    found: dict[TubId, list[tuple[float, datetime]]] = defaultdict(list)
    for row in connection.execute(ask.FILLS, {"since": now - _READING_MEMORY, "until": now}):
        found[TubId(row.tub_id)].append((row.litres, row.at))
    return {tub: tuple(fills) for tub, fills in found.items()}


def water_since(
    states: Sequence[StateChange],
    fills: Sequence[tuple[float, datetime]],
    profile: TubProfile,
    zone: str,
) -> date | None:
    """Return the local day since which a tub holds its water; None where nobody knows."""
    days = [
        at.astimezone(ZoneInfo(zone)).date()
        for litres, at in fills
        if litres >= WHOLE * profile.volume_l
    ]
    refilled = openings_of((each.on, each.state) for each in states).refilled_on
    return max([*days, *([] if refilled is None else [refilled])], default=None)


def of_this_water(readings: Mapping[str, Reading], since: date | None) -> dict[str, Reading]:
    """Leave out what was read of the water before the last change of all of it."""
    return {
        name: each
        for name, each in readings.items()
        if since is None or each.taken_on >= since or name not in OF_THE_WATER
    }


def asked(
    connection: Connection,
    everything: Select[Any],
    one: Select[Any],
    only: int | None,
    **values: object,
) -> CursorResult[Any]:
    """Return the rows of all, or of the one task or tub that is named."""
    if only is None:
        return connection.execute(everything, values)
    return connection.execute(one, values | {"of": only})
