"""Weather as it was read from a file, hour by hour or day by day."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.energy.row_spacing import looks_typical
from tubcare.energy.weather_columns import Quantity

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date, datetime, timezone

    from tubcare.energy.row_spacing import Resolution, TimeGap
    from tubcare.energy.weather_columns import Columns


@dataclass(frozen=True, slots=True, kw_only=True)
class BadRow:
    """A row that was left out: its line in the file and why."""

    line: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherTable:
    """Weather as read: start of each hour or day on the file's clock, and the readings.

    Temperatures in [°C], sun in [W m⁻²], wind in [m s⁻¹], humidity 0..1; NaN without a reading.
    `clock` is the file's own where its stamps tell their offset from UTC, else None.
    """

    resolution: Resolution
    starts: tuple[datetime, ...]
    readings: dict[Quantity, tuple[float, ...]]
    columns: Columns
    bad_rows: tuple[BadRow, ...]
    gaps: tuple[TimeGap, ...]
    repeated: int
    clock: timezone | None = None

    def daily_minima(self) -> tuple[tuple[date, float], ...]:
        """Return date and lowest temperature [°C] of each day that has one."""
        return tuple(_lowest(self))

    def looks_typical(self) -> bool:
        """Say whether it looks like a typical year: one year long, put together from several."""
        return looks_typical(self.starts)


def _lowest(table: WeatherTable) -> Iterator[tuple[date, float]]:
    source = Quantity.LOWEST if Quantity.LOWEST in table.readings else Quantity.AIR
    by_day: dict[date, float] = {}
    for start, value in zip(table.starts, table.readings.get(source, ()), strict=False):
        if not math.isnan(value):
            day = start.date()
            by_day[day] = min(by_day[day], value) if day in by_day else value
    yield from by_day.items()
