"""How readings are told beside their fields: in the units of the kit, with what is unlikely."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.water.units import Unit
from tubcare.words.dates import medium_date
from tubcare.words.measures import measured_figure, measured_name, measured_value
from tubcare.words.water_values import kit_figure, kit_value

if TYPE_CHECKING:
    from tubcare.care.model import Range
    from tubcare.services.reading_kit import Unlikely
    from tubcare.water.kit import Kit
    from tubcare.words.locale import Speech

# In these the fields of the window read by themselves.
_PLAIN_UNITS = frozenset({None, Unit.MG_L, Unit.PPM, Unit.CELSIUS, Unit.FAHRENHEIT})


def has_own_unit(kit: Kit | None, name: str) -> bool:
    """Return whether the kit shows a quantity in another unit than the logbook keeps."""
    return kit is not None and kit.unit_of(name) not in _PLAIN_UNITS


def told_value(speech: Speech, kit: Kit | None, name: str, value: float) -> str:
    """Return a value as the kit shows it."""
    if kit is not None and has_own_unit(kit, name):
        return kit_value(speech, kit, name, value)
    return measured_value(speech, name, value)


def unlikely_text(speech: Speech, kit: Kit | None, odd: Unlikely) -> str:
    """Return what is unlikely about a value, as one sentence."""
    name = quantity_label(speech, odd.quantity)
    value = told_value(speech, kit, odd.quantity, odd.value)
    if odd.is_jump and odd.last is not None:
        return speech.say(
            "{name} {value} is far from {last} on {day}.",
            name=name,
            value=value,
            last=told_value(speech, kit, odd.quantity, odd.last.value),
            day=medium_date(speech, odd.last.on),
        )
    return speech.say(
        "{name} {value} is unlikely: most tubs show {low} to {high}.",
        name=name,
        value=value,
        low=_figure(speech, kit, odd.quantity, odd.low),
        high=told_value(speech, kit, odd.quantity, odd.high),
    )


def _figure(speech: Speech, kit: Kit | None, name: str, value: float) -> str:
    if kit is not None and has_own_unit(kit, name):
        return kit_figure(speech, kit, name, value)
    return measured_figure(speech, name, value)


def range_text(speech: Speech, kit: Kit, name: str, allowed: Range) -> str:
    """Return the range in which a value should lie, as the kit shows it."""
    low = None if allowed.low is None else _figure(speech, kit, name, allowed.low)
    high = None if allowed.high is None else told_value(speech, kit, name, allowed.high)
    if low is None:
        return speech.say("at most {high}", high=high)
    if high is None:
        return speech.say("at least {low}", low=low)
    return speech.say("should lie within {low} to {high}", low=low, high=high)


def quantity_label(speech: Speech, name: str) -> str:
    """Return the name of a quantity as a label begins; “pH” keeps its small letter."""
    told = measured_name(speech, name)
    return told if told[1:2].isupper() else told[:1].upper() + told[1:]
