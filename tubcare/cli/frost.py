"""`tubcare frost`: the dates, the night without power, and what they are worked out from."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tubcare.cli.table_file import write_csv
from tubcare.cli.weather_file import answers_of, read_file
from tubcare.errors import InputError
from tubcare.exchange.frost_csv import frost_csv
from tubcare.services.frost import Frost, FrostSource, choose_frost, frost, type_frost_dates
from tubcare.services.frost_import import MinimaPreview, import_minima, preview_minima
from tubcare.services.frost_record import frost_record
from tubcare.services.frost_tonight import USUAL_NIGHT_C, if_power_fails_tonight
from tubcare.values import MonthDay
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.frost import (
    date_or_never,
    date_range_told,
    freeze_told,
    night_water_told,
    question_told,
    rests_on,
)
from tubcare.words.sentences.weather_files import (
    bad_rows_told,
    columns_told,
    gaps_told,
    period_told,
    replaces_told,
)

if TYPE_CHECKING:
    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Json, Output
    from tubcare.energy.freezing import Freeze
    from tubcare.services.desk import Desk
    from tubcare.services.frost import PlannedDate
    from tubcare.services.frost_tonight import Tonight


def run_frost(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show frost, or do what was asked about it."""
    match arguments.values.action:
        case "import":
            _import(desk, arguments, output)
        case "choose":
            _choose(desk, arguments)
            _show(desk, arguments, output)
        case "dates":
            _dates(desk, arguments)
            _show(desk, arguments, output)
        case _:
            _show(desk, arguments, output)


def _show(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    found = frost(desk, values.tub)
    given = getattr(values, "air_c", None)
    night = if_power_fails_tonight(
        desk, found.tub.id, air_c=USUAL_NIGHT_C if given is None else given
    )
    write_csv(values, lambda: frost_csv(frost_record(desk, found.tub.id), night))
    output.data(_data(found, night))
    _tell(found, output)
    _tell_night(night, output)


def _tell(found: Frost, output: Output) -> None:
    speech, choices = output.speech, found.choices
    output.line(found.tub.name)
    if found.source is FrostSource.NONE:
        output.line(
            speech.say(
                "No frost dates yet. Import daily minima with: tubcare frost import FILE, or write"
                " down what you know with: tubcare frost dates 10-05 10-28"
            )
        )
        return
    if found.watch_from is not None and found.dry_by is not None:
        rows = [
            _date_row(
                speech.say("Watch from"), found.watch_from, choices.watch_risk_percent, output
            ),
            _date_row(speech.say("Dry by"), found.dry_by, choices.dry_risk_percent, output),
        ]
        if found.watch_until is not None:
            rows.append(
                _date_row(
                    speech.say("Watch until"),
                    found.watch_until,
                    choices.watch_risk_percent,
                    output,
                )
            )
        output.table(rows)
    if found.weather is not None:
        first, last = found.weather.first_on.year, found.weather.last_on.year
        output.line(
            speech.say(
                "From {source}, {first} to {last}",
                source=found.weather.source,
                first=first,
                last=last,
            )
        )
    if found.watching:
        output.line(speech.say("The tub holds water now: a stopped pump must not go unnoticed."))


def _date_row(name: str, planned: PlannedDate, percent: int, output: Output) -> tuple[str, ...]:
    speech = output.speech
    return (
        name,
        date_or_never(speech, planned.on),
        date_range_told(speech, planned.earliest, planned.latest),
        rests_on(speech, planned.rests_on, percent),
    )


def _tell_night(night: Tonight, output: Output) -> None:
    speech = output.speech
    air = quantity(speech, night.air_c, Unit.CELSIUS)
    measured = night.measured_at is not None
    whence = night_water_told(speech, night.water_c, measured=measured, drained=night.drained)
    output.line()
    output.line(speech.say("If the power fails tonight, at {air}:", air=air))
    for name, freeze in (
        (speech.say("Hose"), night.cut.hose),
        (speech.say("Pump"), night.cut.pump),
        (speech.say("Tub"), night.cut.tub),
    ):
        output.line(f"  {freeze_told(speech, name, freeze)}")
    output.line(f"  {whence}")


def _import(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    text, answers = read_file(values.file), answers_of(values)
    preview = preview_minima(desk, values.tub, text, answers)
    output_preview(preview, output)
    if values.preview:
        output.data(_preview_data(preview))
        return
    if preview.questions:
        told = " ".join(question_told(output.speech, each) for each in preview.questions)
        way = output.speech.say("Say so with --unit, --date-order or --column.")
        raise InputError("weather", f"{told} {way}")
    import_minima(desk, values.tub, text, source=Path(values.file).name, answers=answers)
    _show(desk, arguments, output)


def output_preview(preview: MinimaPreview, output: Output) -> None:
    """Tell what a file would bring."""
    speech = output.speech
    missing = sum(each.days for each in preview.missing)
    longest = max(preview.missing, key=lambda each: each.days, default=None)
    lines = [question_told(speech, question) for question in preview.questions]
    lines.append(period_told(speech, preview.first_on, preview.last_on))
    if preview.columns:
        lines.append(columns_told(speech, preview.columns, preview.unit))
        lines.append(
            speech.say_count(
                "{n} winter has enough days.", "{n} winters have enough days.", preview.seasons
            )
        )
    if longest is not None:
        lines.append(gaps_told(speech, missing, longest.days, longest.first))
    lines.append(bad_rows_told(speech, preview.bad_rows))
    lines.append(replaces_told(speech, preview.replaces))
    lines.append(preview.refusal)
    for line in filter(None, lines):
        output.line(line)


def _choose(desk: Desk, arguments: Arguments) -> None:
    values = arguments.values
    before = frost(desk, values.tub)
    told = {
        "watch_risk_percent": values.risk,
        "dry_risk_percent": values.dry_risk,
        "dry_level_c": values.dry_level_c,
        "offset_c": values.offset_c,
        "lead_days": values.lead_days,
        "at_level_counts": None if values.at_level is None else values.at_level == "counts",
    }
    changed = {name: value for name, value in told.items() if value is not None}
    choose_frost(desk, before.tub.id, replace(before.choices, **changed))


def _dates(desk: Desk, arguments: Arguments) -> None:
    values = arguments.values
    type_frost_dates(
        desk,
        values.tub,
        watch_from=_month_day("watch_from", values.watch_from),
        dry_by=_month_day("dry_by", values.dry_by),
    )


def _month_day(field: str, text: str) -> MonthDay:
    month, _, day = text.partition("-")
    if not (month.isdigit() and day.isdigit()):
        raise InputError(field, f"“{text}” is no day of the year; write it like 10-28")
    return MonthDay(month=int(month), day=int(day))


def _data(found: Frost, night: Tonight) -> Json:
    return {
        "tub": found.tub.name,
        "source": found.source.value,
        "watching": found.watching,
        "watch_from": _date_data(found.watch_from),
        "dry_by": _date_data(found.dry_by),
        "watch_until": _date_data(found.watch_until),
        "choices": {
            "watch_risk_percent": found.choices.watch_risk_percent,
            "dry_risk_percent": found.choices.dry_risk_percent,
            "dry_level_c": found.choices.dry_level_c,
            "at_level_counts": found.choices.at_level_counts,
            "offset_c": found.choices.offset_c,
            "lead_days": found.choices.lead_days,
        },
        "power_cut": {
            "air_c": night.air_c,
            "water_c": night.water_c,
            "water_measured": night.measured_at is not None,
            **_part_data("hose", night.cut.hose),
            **_part_data("pump", night.cut.pump),
            **_part_data("tub", night.cut.tub),
        },
    }


def _part_data(name: str, freeze: Freeze) -> Json:
    around = freeze.zero_range
    return {
        f"{name}_h": freeze.to_zero_h,
        f"{name}_low_h": None if around is None else around.low,
        f"{name}_high_h": None if around is None else around.high,
        f"{name}_ice_h": freeze.to_ice_h,
    }


def _date_data(planned: PlannedDate | None) -> Json | None:
    if planned is None:
        return None
    found = planned.rests_on
    return {
        "on": planned.on and planned.on.isoformat(),
        "earliest": planned.earliest and planned.earliest.isoformat(),
        "latest": planned.latest and planned.latest.isoformat(),
        "method": None if found is None else found.method.value,
        "seasons": None if found is None else found.seasons,
    }


def _preview_data(preview: MinimaPreview) -> Json:
    return {
        "questions": [each.value for each in preview.questions],
        "first": preview.first_on and preview.first_on.isoformat(),
        "last": preview.last_on and preview.last_on.isoformat(),
        "days": preview.days,
        "unit": preview.unit and preview.unit.value,
        "winters": preview.seasons,
        "missing_days": sum(each.days for each in preview.missing),
        "rows_left_out": len(preview.bad_rows),
        "replaces": preview.replaces,
        "refusal": preview.refusal,
    }
