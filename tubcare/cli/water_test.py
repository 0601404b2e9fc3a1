"""Commands that write down a test in the units of the kit, and change the kit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.cli.choosing import member
from tubcare.cli.figures import exact
from tubcare.errors import InputError, RuleError
from tubcare.services.water_doubts import query_test
from tubcare.services.water_entry import Entry, add_test, strip_steps
from tubcare.services.water_kit import change_kit, tub_kit
from tubcare.water.galvanic import Metal
from tubcare.water.kit import OBSERVED, Kit
from tubcare.water.units import Dimension, Unit
from tubcare.words.measures import measured_name
from tubcare.words.sentences.water_entry import doubt_text, ticked_text, warm_sample_text
from tubcare.words.terms import say_term
from tubcare.words.water_values import OBSERVATIONS, observation, sighting_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tubcare.cli.arguments import Arguments
    from tubcare.cli.output import Output
    from tubcare.services.desk import Desk
    from tubcare.words.locale import Speech


def test(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Write down a test; a doubtful value is kept only with --sure."""
    values, speech = arguments.values, output.speech
    kit = tub_kit(desk, values.tub)
    entry = _entry(kit, values.values, arguments, output)
    doubts = query_test(desk, values.tub, entry)
    if doubts and not values.sure:
        told = " ".join(doubt_text(speech, kit, each) for each in doubts)
        raise RuleError(speech.say("{doubts} Say --sure to keep it as written.", doubts=told))
    found = add_test(desk, values.tub, entry)
    output.data(
        {
            "tub": found.tub.name,
            "at": found.at.isoformat(),
            "values": {name: round(seen.value, 4) for name, seen in found.values.items()},
            "ph_as_read": found.ph_as_read,
            "ticked": list(found.ticked),
            "doubts": [{"field": d.name, "kind": d.kind.value} for d in doubts],
        }
    )
    for name, seen in found.values.items():
        if name in OBSERVED:
            output.line(observation(speech, name, seen.value))
        else:
            told = sighting_text(speech, kit, name, seen)
            output.line(f"{measured_name(speech, name)} {told}")
    if found.ph_as_read is not None:
        output.line(warm_sample_text(speech, found.ph_as_read, found.values["ph"].value))
    if found.ticked:
        output.line(ticked_text(speech, found.ticked))


def kit(desk: Desk, arguments: Arguments, output: Output) -> None:
    """Show or change what the kit of a tub shows, its units and its strips."""
    values = arguments.values
    known = tub_kit(desk, values.tub)
    wanted = Kit(
        fields=known.fields if values.fields is None else tuple(values.fields.split(",")),
        units={**known.units, **dict(_unit(text) for text in values.unit)},
        strips=_strips(output.speech, known, values.strip),
        metals=known.metals if values.metals is None else _metals(values.metals),
    )
    if wanted != known:
        change_kit(desk, values.tub, wanted)
    output.data(
        {
            "fields": list(wanted.fields),
            "units": {each.value: unit.value for each, unit in wanted.units.items()},
            "strips": {name: list(steps) for name, steps in wanted.strips.items()},
            "metals": sorted(wanted.metals),
        }
    )
    for name in wanted.fields:
        unit = wanted.unit_of(name)
        steps = "; ".join(f"{step:g}" for step in strip_steps(wanted, name))
        pad = steps if name in wanted.strips else ""
        output.line(f"{name}  {unit.value if unit else ''}  {pad}".rstrip())


def _entry(known: Kit, texts: list[str], arguments: Arguments, output: Output) -> Entry:
    values: dict[str, float] = {}
    colours: dict[str, int] = {}
    for text in texts:
        name, equals, told = text.partition("=")
        name = name.strip().casefold()
        if not equals:
            raise InputError("reading", f"“{text}” has no value; write it like ph=7.4")
        if name in OBSERVED and not told.strip().isdigit():
            values[name] = _observed(output, name, told)
            continue
        value = _number(output.speech, name, told)
        if name in known.strips:
            colours[name] = _colour(known, name, value)
        else:
            values[name] = value
    on = arguments.values.on or arguments.today
    at = arguments.values.at
    return Entry(values=values, colours=colours, on=on, at=at, note=arguments.values.note)


def _observed(output: Output, name: str, told: str) -> float:
    wanted = told.strip().casefold()
    answers = [say_term(output.speech, each) for each in OBSERVATIONS[name]]
    for place, answer in enumerate(answers):
        if wanted in answer.casefold():
            return float(place)
    raise InputError(name, f"choose from {', '.join(answers)}")


def _colour(known: Kit, name: str, value: float) -> int:
    steps = strip_steps(known, name)
    for place, step in enumerate(steps):
        if abs(step - value) < 1e-9:
            return place
    raise InputError(name, f"its pad has the colours {', '.join(f'{s:g}' for s in steps)}")


def _unit(text: str) -> tuple[Dimension, Unit]:
    name, _, unit = text.partition("=")
    try:
        return Dimension(name), Unit(unit)
    except ValueError as error:
        known = ", ".join(each.value for each in Unit)
        raise InputError(
            "unit", f"“{text}” is not known; write it like hardness=gpg, with one of {known}"
        ) from error


def _metals(text: str) -> frozenset[Metal]:
    return frozenset(member(Metal, "metals", name) for name in text.split(",") if name.strip())


def _strips(speech: Speech, known: Kit, said: Sequence[str]) -> dict[str, tuple[float, ...]]:
    """Return the pads of the kit with those said; one without steps is taken away."""
    named = dict(_strip(speech, text) for text in said)
    return {name: steps for name, steps in {**known.strips, **named}.items() if steps}


def _strip(speech: Speech, text: str) -> tuple[str, tuple[float, ...]]:
    """Return the steps of a strip's pad, parted by semicolons where commas part decimals."""
    name, _, steps = text.partition("=")
    if not steps.strip():
        return name, ()
    parted = steps.split(";" if ";" in steps else ",")
    return name, tuple(_number(speech, name, step) for step in parted)


def _number(speech: Speech, name: str, text: str) -> float:
    return float(exact(speech, name, text))
