"""Weather in use, and what a file would bring, as lines and as JSON with stable fields."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.sentences.frost import question_told
from tubcare.words.sentences.weather_files import (
    bad_rows_told,
    columns_told,
    gaps_told,
    joins_told,
    measured_told,
    no_weather_told,
    period_told,
    replaces_told,
    typical_told,
    unused_told,
)

if TYPE_CHECKING:
    from tubcare.cli.output import Output
    from tubcare.services.power_weather import WeatherPreview
    from tubcare.services.power_weather_known import KnownWeather


def weather_preview_shown(preview: WeatherPreview, output: Output) -> None:
    """Show what a weather file holds."""
    speech = output.speech
    missing = sum(gap.count for gap in preview.gaps)
    output.data(
        {
            "questions": [each.value for each in preview.questions],
            "first": preview.first_on and preview.first_on.isoformat(),
            "last": preview.last_on and preview.last_on.isoformat(),
            "rows": preview.rows,
            "resolution": preview.resolution and preview.resolution.value,
            "typical": preview.typical,
            "unclear_columns": list(preview.unclear),
            "missing": missing,
            "rows_left_out": len(preview.bad_rows),
            "joins": preview.joins,
            "replaces": preview.replaces,
            "refusal": preview.refusal,
        }
    )
    if preview.first_on is None or preview.last_on is None or preview.resolution is None:
        for question in preview.questions:
            output.line(question_told(speech, question))
        return
    longest = max(preview.gaps, key=lambda gap: gap.count, default=None)
    lines = [
        period_told(speech, preview.first_on, preview.last_on),
        columns_told(speech, preview.columns, preview.unit),
        unused_told(speech, preview.unclear, preview.left_out),
        speech.say("Say it with --wind-unit or --sun-unit.") if preview.unclear else "",
        "" if longest is None else gaps_told(speech, missing, longest.count, longest.first.date()),
        bad_rows_told(speech, preview.bad_rows),
        speech.say("It is taken for a typical year.") if preview.typical else "",
        joins_told(speech, preview.joins),
        replaces_told(speech, preview.replaces),
        preview.refusal,
    ]
    for line in filter(None, lines):
        output.line(line)


def weather_shown(known: KnownWeather, output: Output) -> None:
    """Show which weather is in use."""
    speech, measured, typical = output.speech, known.measured, known.typical
    output.data(
        {
            "measured": None if measured is None else measured.source,
            "measured_first": None if measured is None else measured.first_on.isoformat(),
            "measured_last": None if measured is None else measured.last_on.isoformat(),
            "typical": None if typical is None else typical.kind.value,
            "typical_source": None if typical is None else typical.source,
        }
    )
    if measured is not None:
        output.line(measured_told(speech, measured.source, measured.first_on, measured.last_on))
    if typical is not None:
        output.line(typical_told(speech, typical.source))
    if measured is None and typical is None:
        output.line(no_weather_told(speech))
