"""Commands that write down what was measured: dips, readings, meters, water."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.cli.figures import exact, named_number
from tubcare.errors import RuleError
from tubcare.services.measures import MeterValue, add_dip, add_readings, tub_named
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.services.ranges import profile_in
from tubcare.services.reading_kit import unlikely_fill
from tubcare.words.lists import all_of
from tubcare.words.measures import measured_name, measured_value
from tubcare.words.numbers import number
from tubcare.words.quantities import Unit, quantity

if TYPE_CHECKING:
    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Output
    from tubcare.services.desk import Desk


def dip(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write down a dip, or several."""
    values = arguments.values
    place = add_dip(
        desk,
        values.tub,
        dips=values.count,
        on=values.on or arguments.today,
        person=values.who,
        minutes=values.minutes,
        water_c=values.water_c,
    )
    output.data({"tub": place.name, "dips": values.count})
    speech = output.speech
    output.line(
        speech.say_count(
            "{tub}: {n} dip written down",
            "{tub}: {n} dips written down",
            values.count,
            tub=place.name,
        )
    )


def reading(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write down measured values."""
    values = dict(named_number(output.speech, "reading", text) for text in arguments.values.values)
    place = add_readings(
        desk,
        arguments.values.tub,
        values,
        on=arguments.values.on or arguments.today,
        note=arguments.values.note,
    )
    output.data({"tub": place.name, "values": dict(values)})
    speech = output.speech
    written = all_of(
        speech,
        [
            f"{measured_name(speech, name)} {measured_value(speech, name, value)}"
            for name, value in values.items()
        ],
    )
    output.line(speech.say("{tub}: {values}", tub=place.name, values=written))


def meter(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write down what a meter shows."""
    values = arguments.values
    value = MeterValue(
        counter=values.counter,
        value_milli=round(exact(output.speech, "value", values.value) * 1000),
        new_meter=values.new_meter,
        rolls_over_milli=values.rolled_over
        and round(exact(output.speech, "rolls_over", values.rolled_over) * 1000),
    )
    place = add_meter_reading(desk, values.tub, value, on=values.on or arguments.today)
    output.data({"tub": place.name, "counter": values.counter, "value_milli": value.value_milli})
    shown = number(output.speech, value.value_milli / 1000)
    output.line(f"{place.name}: {values.counter} {shown}")


def fill(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write down fresh water."""
    values = arguments.values
    if not values.sure:
        _doubt_litres(desk, values.tub, values.litres)
    place = add_fill(
        desk, values.tub, values.litres, kind=values.kind, on=values.on or arguments.today
    )
    output.data({"tub": place.name, "litres": values.litres, "kind": values.kind})
    litres = quantity(output.speech, values.litres, Unit.LITRE)
    output.line(f"{place.name}: {litres}")


def _doubt_litres(desk: Desk, tub: str | None, litres: float) -> None:
    """Raise `RuleError` for more water than the tub holds: it may well be a slip."""
    with desk.read() as connection:
        profile = profile_in(connection, tub_named(connection, tub).id)
    if unlikely_fill(profile, litres):
        raise RuleError(
            f"that is more than the tub holds, {profile.volume_l:g} litres; say --sure to keep it "
            "as written"
        )
