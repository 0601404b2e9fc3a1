"""Weather for the model, as the box for files looks into it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.power_files import Looked
from tubcare.services.power_weather import import_weather, preview_weather
from tubcare.words.sentences.weather_files import (
    bad_rows_told,
    columns_told,
    gaps_told,
    joins_told,
    period_told,
    replaces_told,
    unused_told,
)

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.tub_part import TubPart
    from tubcare.energy.weather_text import Answers
    from tubcare.services.power_weather import FileClock


class WeatherReader:
    """Reads hours or days of weather for the tub that a page shows."""

    def __init__(self, context: Context, page: TubPart) -> None:
        self._context = context
        self._page = page

    def look(self, text: str, answers: Answers, clock: FileClock) -> Looked:
        """Return what the file would bring."""
        tub = None if self._page.tub is None else self._page.tub.id
        found = preview_weather(self._context.desk, tub, text, answers=answers, clock=clock)
        speech = self._context.speech
        longest = max(found.gaps, key=lambda gap: gap.count, default=None)
        lines = [
            period_told(speech, found.first_on, found.last_on),
            columns_told(speech, found.columns, found.unit) if found.columns else "",
            unused_told(speech, found.unclear, found.left_out),
            speech.say("Choose the unit below, or leave it out.") if found.unclear else "",
            gaps_told(
                speech,
                sum(gap.count for gap in found.gaps),
                longest.count if longest else 0,
                longest.first.date() if longest else None,
            ),
            bad_rows_told(speech, found.bad_rows),
            speech.say("It is taken for a typical year.") if found.typical else "",
            joins_told(speech, found.joins),
            replaces_told(speech, found.replaces),
            found.refusal,
        ]
        return Looked(
            lines=tuple(line for line in lines if line),
            questions=found.questions,
            usable=found.usable,
        )

    def take(self, text: str, source: str, answers: Answers, clock: FileClock) -> object:
        """Take the file over."""
        tub = None if self._page.tub is None else self._page.tub.id
        return import_weather(
            self._context.desk, tub, text, source=source, answers=answers, clock=clock
        )
