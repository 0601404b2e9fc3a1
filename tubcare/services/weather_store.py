"""Weather as the logbook keeps it: rows of figures as text, in hundredths, one series a use."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from sqlalchemy import select

from tubcare.energy.frost_dates import DailyMinima
from tubcare.energy.weather_kind import WeatherKind
from tubcare.store.tables import WeatherRow
from tubcare.store.unit import table_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import datetime

    from sqlalchemy import Connection

    from tubcare.store.unit import Unit
    from tubcare.values import TubId

_PARTS_OF_ONE = 100
_LONGEST_SOURCE = 200


class Purpose(StrEnum):
    """What a series is kept for."""

    FROST = "frost"
    """Daily minima of many years."""
    POWER = "power"
    """Hours as measured, for the time of the meter readings."""
    TYPICAL = "typical"
    """A typical year or twelve monthly means, where nothing was measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptWeather:
    """A series as kept: where it comes from, what it covers, its figures."""

    kind: WeatherKind
    source: str
    first_on: date
    last_on: date
    content: dict[str, Any]


def figures_as_text(values: Iterable[float]) -> str:
    """Return figures as whole hundredths parted by commas; an unknown one leaves its place empty.

    Two decimals are finer than any thermometer that the figures may come from.
    """
    return ",".join("" if math.isnan(v) else str(round(v * _PARTS_OF_ONE)) for v in values)


def figures_from_text(text: str) -> list[float]:
    """Return the figures that `figures_as_text` wrote, NaN for an unknown one."""
    return [math.nan if not cell else int(cell) / _PARTS_OF_ONE for cell in text.split(",")]


def minima_as_content(days: Sequence[tuple[date, float]]) -> dict[str, Any]:
    """Return daily minima as kept: one figure for each day from the first to the last."""
    by_day = dict(days)
    first = min(by_day)
    length = (max(by_day) - first).days + 1
    values = (by_day.get(first + timedelta(days=n), math.nan) for n in range(length))
    return {"minima_c": figures_as_text(values)}


def minima_of(kept: KeptWeather) -> DailyMinima:
    """Return the daily minima of a series that was kept for frost."""
    values = figures_from_text(str(kept.content["minima_c"]))
    days = ((kept.first_on + timedelta(days=n), v) for n, v in enumerate(values))
    return DailyMinima(by_day=tuple((d, v) for d, v in days if not math.isnan(v)), kind=kept.kind)


def kept_weather(connection: Connection, tub: TubId, purpose: Purpose) -> KeptWeather | None:
    """Return the series that is kept for a use, None when there is none."""
    table = table_of(WeatherRow)
    row = connection.execute(
        select(table).where(table.c.tub_id == tub, table.c.purpose == purpose.value)
    ).first()
    if row is None:
        return None
    return KeptWeather(
        kind=WeatherKind(row.kind),
        source=row.source,
        first_on=row.first_on,
        last_on=row.last_on,
        content=row.content,
    )


def keep_weather(
    unit: Unit, tub: TubId, purpose: Purpose, kept: KeptWeather, now: datetime
) -> None:
    """Put a series in place of the one that was kept for the same use."""
    table = table_of(WeatherRow)
    old = unit.connection.execute(
        select(table.c.id).where(table.c.tub_id == tub, table.c.purpose == purpose.value)
    ).scalar()
    values: dict[str, object] = {
        "kind": kept.kind.value,
        "source": kept.source[:_LONGEST_SOURCE],
        "first_on": kept.first_on,
        "last_on": kept.last_on,
        "content": kept.content,
        "added_at": now,
    }
    if old is None:
        unit.add(WeatherRow, tub_id=tub, purpose=purpose.value, **values)
    else:
        unit.change(WeatherRow, old, **values)
