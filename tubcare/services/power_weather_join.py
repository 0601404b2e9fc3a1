"""Puts measured weather together with what is kept, as month follows month."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from tubcare.services.weather_store import KeptWeather, figures_as_text, figures_from_text

if TYPE_CHECKING:
    from collections.abc import Sequence

_HOUR = timedelta(hours=1)
_LONGEST_GAP = timedelta(hours=6)
_MOST_HOURS = 20 * 366 * 24
_FIGURES = ("air_c", "sun_w_m2", "wind_m_s", "humidity")


def joined_weather(old: KeptWeather | None, new: KeptWeather) -> KeptWeather | None:
    """Return both series as one where they overlap or follow each other, None where they do not.

    Where both tell an hour the new one counts; what only one of them measured is left out. A new
    series that holds all of the old one's time takes its place.
    """
    if old is None:
        return None
    starts = [datetime.fromisoformat(str(each.content["start"])) for each in (old, new)]
    columns = [_columns(each) for each in (old, new)]
    ends = [
        start + _HOUR * len(cols["air_c"]) for start, cols in zip(starts, columns, strict=True)
    ]
    covered = starts[1] <= starts[0] and ends[1] >= ends[0]
    apart = max(starts) - min(ends) > _LONGEST_GAP
    count = int((max(ends) - min(starts)) / _HOUR)
    if covered or apart or count > _MOST_HOURS:
        return None
    content: dict[str, Any] = {"start": min(starts).isoformat()}
    for name in columns[0].keys() & columns[1].keys():
        values = [math.nan] * count
        for start, cols in zip(starts, columns, strict=True):
            _place(values, cols[name], int((start - min(starts)) / _HOUR))
        content[name] = figures_as_text(values)
    return KeptWeather(
        kind=new.kind,
        source=f"{old.source}, {new.source}",
        first_on=min(old.first_on, new.first_on),
        last_on=max(old.last_on, new.last_on),
        content=content,
    )


def _columns(kept: KeptWeather) -> dict[str, list[float]]:
    return {
        name: list(figures_from_text(str(kept.content[name])))
        for name in _FIGURES
        if name in kept.content
    }


def _place(values: list[float], told: Sequence[float], first: int) -> None:
    for number, value in enumerate(told, first):
        if not math.isnan(value):
            values[number] = value
