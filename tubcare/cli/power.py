"""`tubcare power`: what the cold costs, and what it is worked out from."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tubcare.cli.build_shown import build_in_terminal
from tubcare.cli.power_said import (
    described_from,
    drift_from,
    ideas_from,
    means_from,
    tariff_from,
)
from tubcare.cli.power_shown import (
    hours_shown,
    learning_shown,
    power_shown,
)
from tubcare.cli.table_file import write_csv
from tubcare.cli.weather_file import answers_of, read_file
from tubcare.cli.weather_shown import weather_preview_shown, weather_shown
from tubcare.cli.what_if_shown import what_if_shown
from tubcare.energy.price_text import PricePer
from tubcare.errors import InputError
from tubcare.exchange.build_csv import build_csv
from tubcare.exchange.hours_csv import hours_csv
from tubcare.exchange.ideas_csv import ideas_csv
from tubcare.exchange.learning_csv import learning_csv
from tubcare.exchange.power_csv import power_csv
from tubcare.exchange.tariff_csv import tariff_csv
from tubcare.exchange.weather_csv import weather_csv
from tubcare.services.measures import tub_named
from tubcare.services.power import power
from tubcare.services.power_build import read_build
from tubcare.services.power_change import build_shown, change_build
from tubcare.services.power_due import fill_if_due
from tubcare.services.power_hours import plan_hours
from tubcare.services.power_learning import (
    add_drift_test,
    delete_drift_test,
    forget_learning,
    keep_learning,
    learning,
)
from tubcare.services.power_tariff import change_tariff, prices_from_file, tariff_of
from tubcare.services.power_weather import (
    FileClock,
    import_weather,
    preview_weather,
    type_monthly_means,
)
from tubcare.services.power_weather_known import known_weather, weather_series
from tubcare.services.power_what_if import compare_ideas, what_if
from tubcare.words.sentences.frost import question_told
from tubcare.words.sentences.learning import drift_told
from tubcare.words.sentences.weather_files import without_sun_told
from tubcare.words.sentences.what_if import idea_told, tariff_told

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Output
    from tubcare.energy.price_text import HourlyPrices
    from tubcare.services.desk import Desk


def run_power(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show power, or do what was asked about it."""
    doers: dict[str | None, Callable[[Desk, Arguments, Output], None]] = {
        "weather": _weather,
        "means": _means,
        "tariff": _tariff,
        "build": _build,
        "what-if": _what_if,
        "learn": _learn,
        "drift": _drift,
        "hours": _hours,
    }
    doers.get(arguments.values.action, _show)(desk, arguments, output)


def _show(desk: Desk, arguments: Arguments, output: Output) -> None:
    fill_if_due(desk)
    found = power(desk, arguments.values.tub)
    write_csv(arguments.values, lambda: power_csv(found, output.speech.currency))
    power_shown(found, output)


def _weather(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    if values.file is None:
        weather_shown(known_weather(desk, values.tub), output)
        write_csv(values, lambda: weather_csv(weather_series(desk, values.tub)))
        return
    text, answers, clock = read_file(values.file), answers_of(values), FileClock(values.clock)
    preview = preview_weather(desk, values.tub, text, answers=answers, clock=clock)
    if values.preview:
        weather_preview_shown(preview, output)
        return
    if preview.questions:
        told = " ".join(question_told(output.speech, each) for each in preview.questions)
        way = output.speech.say("Say so with --unit, --date-order or --column.")
        raise InputError("weather", f"{told} {way}")
    import_weather(
        desk, values.tub, text, source=Path(values.file).name, answers=answers, clock=clock
    )
    weather_preview_shown(preview, output)
    write_csv(values, lambda: weather_csv(weather_series(desk, values.tub)))


def _means(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    with desk.read() as connection:
        profile = read_build(connection, values.tub).profile
    type_monthly_means(desk, values.tub, means_from(values, profile.latitude_deg))
    _show(desk, arguments, output)
    if profile.latitude_deg is None:
        output.line(without_sun_told(output.speech))


def _tariff(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    before = tariff_of(desk, values.tub)
    plan = tariff_from(values, output.speech, before, _hourly_prices(desk, values))
    with desk.read() as connection:
        place = tub_named(connection, values.tub)
    if plan != before:
        change_tariff(desk, place.id, plan)
        output.line(output.speech.say("{tub}: tariff kept.", tub=place.name))
    else:
        output.line(tariff_told(output.speech, plan))
    output.data({"tub": place.name, "kind": plan.kind.value})
    code = output.speech.currency.code
    write_csv(values, lambda: tariff_csv(plan, code, place.zone))


def _hourly_prices(desk: Desk, values: argparse.Namespace) -> HourlyPrices | None:
    if not values.hourly:
        return None
    per = None if values.per is None else PricePer(values.per)
    text = read_file(values.hourly)
    return prices_from_file(desk, values.tub, text, per=per, in_utc=values.utc)


def _build(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    shown = build_shown(desk, values.tub)
    described = described_from(values, shown.build.described, output.speech, shown.catalogue)
    if described != shown.build.described:
        change_build(desk, values.tub, described)
        shown = build_shown(desk, values.tub)
    build_in_terminal(shown, output)
    write_csv(values, lambda: build_csv(shown))


def _what_if(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    asked = what_if(desk, values.tub)
    hourly = _hourly_prices(desk, values)
    ideas = ideas_from(values, output.speech, hourly) or asked.ideas
    found = tuple(compare_ideas(asked, ideas))
    what_if_shown(asked, found, output)
    names = [idea_told(output.speech, each.idea) for each in found]
    write_csv(values, lambda: ideas_csv(found, names, output.speech.currency))


def _learn(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    if values.forget:
        forget_learning(desk, values.tub)
    if values.delete_drift:
        delete_drift_test(desk, values.tub)
    found = keep_learning(desk, values.tub) if values.keep else learning(desk, values.tub)
    learning_shown(found, output)
    write_csv(values, lambda: learning_csv(found))


def _drift(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    with desk.read() as connection:
        place = tub_named(connection, values.tub)
    result = add_drift_test(desk, place.id, drift_from(values, output.speech))
    output.data(
        {
            "tub": place.name,
            "leak_w_k": result.ua_w_k,
            "error_w_k": result.error_w_k,
            "advice": list(result.advice),
        }
    )
    for line in drift_told(output.speech, result):
        output.line(line)


def _hours(desk: Desk, arguments: Arguments, output: Output) -> None:
    values = arguments.values
    plan = plan_hours(
        desk, values.tub, low_c=values.low_c, high_c=values.high_c, hours=values.ahead
    )
    hours_shown(plan, output)
    write_csv(values, lambda: hours_csv(plan, output.speech.currency))
