"""The chart of frost by date: in which share of the winters it had come by a day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.desktop.charts import Chart, ChartKind, Series
from tubcare.words.dates import day_and_month, medium_date
from tubcare.words.numbers import percent
from tubcare.words.quantities import Unit, quantity

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from tubcare.services.frost import Frost
    from tubcare.words.locale import Speech


def frost_chart(speech: Speech, found: Frost) -> Chart:
    """Return the chart of a tub whose winters are on record."""
    level = quantity(speech, found.choices.dry_level_c, Unit.CELSIUS, 0)
    zero = quantity(speech, 0.0, Unit.CELSIUS, 0)
    told = []
    if found.dry_by is not None and found.dry_by.on is not None:
        day = medium_date(speech, found.dry_by.on)
        told.append(speech.say("Dry by {day}.", day=day))
    if found.watch_from is not None and found.watch_from.on is not None:
        day = medium_date(speech, found.watch_from.on)
        told.append(speech.say("Watch from {day}.", day=day))
    marks = _marks(speech, found)
    return Chart(
        kind=ChartKind.LINES,
        title=speech.say("Frost by date"),
        told=" ".join(told),
        labels=tuple(day_and_month(speech, point.on, point.on) for point in found.chances),
        series=(
            Series(
                name=speech.say("Below {level} has come", level=zero),
                values=tuple(point.frost * 100.0 for point in found.chances),
            ),
            Series(
                name=speech.say("Below {level} has come", level=level),
                values=tuple(point.hard * 100.0 for point in found.chances),
            ),
            Series(
                name=speech.say("Dates to plan by"),
                values=tuple(
                    marks[point.on].height if point.on in marks else None
                    for point in found.chances
                ),
                points_only=True,
                texts=tuple(
                    marks[point.on].told if point.on in marks else "" for point in found.chances
                ),
                signs=tuple(
                    marks[point.on].sign if point.on in marks else "" for point in found.chances
                ),
            ),
        ),
        figure=_Percent(speech),
        labels_title=speech.say("Day"),
        most=100.0,
        key=tuple(
            speech.say("{letter} = {what}", letter=mark.sign, what=mark.told)
            for _on, mark in sorted(marks.items())
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """A date on the chart: its letter, what it is, and how often frost had come by then."""

    sign: str
    told: str
    height: float


def _marks(speech: Speech, found: Frost) -> Mapping[date, _Mark]:
    """Return the dates to plan by; where both fall on one day, the harder one is marked."""
    by_day = {point.on: point for point in found.chances}
    marks: dict[date, _Mark] = {}
    if found.watch_from is not None and found.watch_from.on in by_day:
        on = found.watch_from.on
        height = by_day[on].frost * 100.0
        marks[on] = _Mark(sign="A", told=speech.say("Watch from"), height=height)
    if found.dry_by is not None and found.dry_by.on in by_day:
        on = found.dry_by.on
        marks[on] = _Mark(sign="B", told=speech.say("Dry by"), height=by_day[on].hard * 100.0)
    return marks


class _Percent:
    """Writes a share of the winters."""

    def __init__(self, speech: Speech) -> None:
        self._speech = speech

    def __call__(self, value: float) -> str:
        return percent(self._speech, value / 100.0)
