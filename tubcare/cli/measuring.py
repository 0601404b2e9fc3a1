"""Commands that write down what was measured: dips, readings, meters, water."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from tubcare.errors import InputError
from tubcare.services.measures import MeterValue, add_dip, add_readings
from tubcare.services.meters import add_fill, add_meter_reading
from tubcare.words.numbers import number

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
    output.line(f"{place.name}: {values.count} written down")


def reading(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write down measured values."""
    values = dict(_pair(text) for text in arguments.values.values)
    place = add_readings(
        desk,
        arguments.values.tub,
        values,
        on=arguments.values.on or arguments.today,
        note=arguments.values.note,
    )
    output.data({"tub": place.name, "values": dict(values)})
    written = ", ".join(f"{name} {value:g}" for name, value in values.items())
    output.line(f"{place.name}: {written}")


def meter(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write down what a meter shows."""
    values = arguments.values
    value = MeterValue(
        counter=values.counter,
        value_milli=round(_number("value", values.value) * 1000),
        new_meter=values.new_meter,
        rolls_over_milli=values.rolled_over
        and round(_number("rolls_over", values.rolled_over) * 1000),
    )
    place = add_meter_reading(desk, values.tub, value, on=values.on or arguments.today)
    output.data({"tub": place.name, "counter": values.counter, "value_milli": value.value_milli})
    output.line(f"{place.name}: {values.counter} {value.value_milli / 1000:g}")


def fill(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write down fresh water."""
    values = arguments.values
    place = add_fill(
        desk, values.tub, values.litres, kind=values.kind, on=values.on or arguments.today
    )
    output.data({"tub": place.name, "litres": values.litres, "kind": values.kind})
    output.line(f"{place.name}: {number(output.speech, values.litres)} l")


def _pair(text: str) -> tuple[str, float]:
    name, equals, value = text.partition("=")
    if not equals:
        raise InputError("reading", f"“{text}” has no value; write it like ph=7.4")
    return name.strip().casefold(), float(_number(name, value))


def _number(name: str, text: str) -> Decimal:
    try:
        return Decimal(text.replace(",", "."))
    except InvalidOperation as error:
        raise InputError(name, f"“{text}” is not a number") from error
