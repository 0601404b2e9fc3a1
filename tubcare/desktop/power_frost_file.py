"""Daily minima for frost dates, as the box for files looks into them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.power_files import Looked
from tubcare.services.frost_import import import_minima, preview_minima
from tubcare.words.sentences.weather_files import (
    bad_rows_told,
    columns_told,
    gaps_told,
    period_told,
    replaces_told,
)

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.tub_part import TubPart
    from tubcare.energy.weather_text import Answers
    from tubcare.services.power_weather import FileClock


class MinimaReader:
    """Reads daily minima for the tub that a page shows."""

    def __init__(self, context: Context, page: TubPart) -> None:
        self._context = context
        self._page = page

    def look(self, text: str, answers: Answers, clock: FileClock) -> Looked:
        """Return what the file would bring; the clock matters little for whole days."""
        _ = clock
        tub = None if self._page.tub is None else self._page.tub.id
        found = preview_minima(self._context.desk, tub, text, answers)
        speech = self._context.speech
        missing = sum(each.days for each in found.missing)
        longest = max(found.missing, key=lambda each: each.days, default=None)
        lines = [
            period_told(speech, found.first_on, found.last_on),
            columns_told(speech, found.columns, found.unit) if found.columns else "",
            speech.say_count(
                "{n} winter has enough days.", "{n} winters have enough days.", found.seasons
            )
            if not found.questions
            else "",
            gaps_told(
                speech,
                missing,
                longest.days if longest else 0,
                longest.first if longest else None,
            ),
            bad_rows_told(speech, found.bad_rows),
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
        _ = clock
        tub = None if self._page.tub is None else self._page.tub.id
        return import_minima(self._context.desk, tub, text, source=source, answers=answers)
