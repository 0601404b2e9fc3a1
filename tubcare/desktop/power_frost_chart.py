"""The chart of frost by date: in which share of the winters it had come by a day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.charts import Chart, ChartKind, Series
from tubcare.words.dates import day_and_month, medium_date
from tubcare.words.numbers import percent
from tubcare.words.quantities import Unit, quantity

if TYPE_CHECKING:
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
        ),
        figure=_Percent(speech),
        labels_title=speech.say("Day"),
        most=100.0,
    )


class _Percent:
    """Writes a share of the winters."""

    def __init__(self, speech: Speech) -> None:
        self._speech = speech

    def __call__(self, value: float) -> str:
        return percent(self._speech, value / 100.0)
