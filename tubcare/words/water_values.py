"""Values of the water as people read them: in the units of their kit, and what they saw."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.water.judged import READING_OF
from tubcare.water.kit import DIMENSION_OF
from tubcare.water.units import Unit
from tubcare.words.dates import clock_time, weekday_date
from tubcare.words.measures import measured_name, measured_value, unit_of
from tubcare.words.numbers import NO_BREAK_SPACE, number
from tubcare.words.quantities import unit_symbol
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import datetime

    from tubcare.water.judged import Sighting
    from tubcare.water.kit import Kit
    from tubcare.water.ranges import Quantity
    from tubcare.words.locale import Speech

OBSERVATIONS: Mapping[str, tuple[Term, ...]] = MappingProxyType(
    {
        "clarity": (
            term("clarity", "bottom sharp"),
            term("clarity", "hazy"),
            term("clarity", "bottom not seen"),
        ),
        "smell": (
            term("smell", "no smell"),
            term("smell", "smells of chlorine"),
            term("smell", "smells musty"),
        ),
        "slime": (
            term("slime", "no slime"),
            term("slime", "a little slime"),
            term("slime", "much slime"),
        ),
        "foam": (
            term("foam", "no foam"),
            term("foam", "foam that goes"),
            term("foam", "foam that stays"),
        ),
        "colour": (
            term("colour", "no colour"),
            term("colour", "green"),
            term("colour", "brown"),
            term("colour", "milky"),
        ),
        "ice": (
            term("ice", "no ice"),
            term("ice", "ice at the edge"),
            term("ice", "ice across"),
        ),
    }
)


def kit_value(speech: Speech, kit: Kit, name: str, value: float) -> str:
    """Return a value with the unit of the kit: 7.4, 80 mg/L, 4.5 °dH."""
    unit = kit.unit_of(name)
    if unit is None:
        return measured_value(speech, name, round(value, 2))
    return f"{kit_figure(speech, kit, name, value)}{NO_BREAK_SPACE}{unit.value}"


def kit_figure(speech: Speech, kit: Kit, name: str, value: float) -> str:
    """Return a value in the unit of the kit without that unit."""
    shown = kit.shown(name, value)
    return number(speech, round(shown, _decimals(name, kit.unit_of(name), shown)))


def kit_unit(speech: Speech, kit: Kit, name: str) -> str:
    """Return the sign of the unit that a field is read in, empty for pH and observations."""
    unit = kit.unit_of(name)
    if unit is not None:
        return unit.value
    own = unit_of(name)
    return "" if own is None else unit_symbol(speech, own)


def sighting_text(speech: Speech, kit: Kit, name: str, sighting: Sighting) -> str:
    """Return a value as it was read; a strip's as the band that its colour stands for."""
    band = sighting.band
    if band is None:
        return kit_value(speech, kit, name, sighting.value)
    return speech.say(
        "{low} to {high}",
        low=kit_figure(speech, kit, name, band.low),
        high=kit_value(speech, kit, name, band.high),
    )


def moment_text(speech: Speech, moment: datetime, now: datetime) -> str:
    """Return a local time of day, with the day where it is not that of `now`."""
    clock = clock_time(speech, moment)
    if moment.date() == now.date():
        return clock
    day = weekday_date(speech, moment.date())
    return speech.say("{day} at {time}", day=day, time=clock)


def observation(speech: Speech, name: str, value: float) -> str:
    """Return what was seen or smelt: hazy, a little slime."""
    told = OBSERVATIONS[name]
    return say_term(speech, told[min(max(round(value), 0), len(told) - 1)])


def quantity_name(speech: Speech, quantity: Quantity) -> str:
    """Return the name of a quantity with a capital, as it stands alone."""
    return field_label(speech, READING_OF[quantity])


def field_label(speech: Speech, name: str) -> str:
    """Return the name of a reading with a capital, as it stands beside a field."""
    told = measured_name(speech, name)
    return told if told == "pH" else f"{told[:1].upper()}{told[1:]}"


def kit_distance(speech: Speech, kit: Kit, name: str, by: float) -> str:
    """Return a distance in the unit of the kit; a temperature has no range, so none is asked."""
    unit = kit.unit_of(name)
    if unit is None:
        return number(speech, max(round(by, 2), 0.01))
    shown = kit.shown(name, by)
    figure = number(speech, round(shown, _decimals(name, unit, shown)))
    return f"{figure}{NO_BREAK_SPACE}{unit.value}"


def _decimals(name: str, unit: Unit | None, shown: float) -> int:
    """Return the decimals that a kit can carry."""
    if unit is None:
        return 2
    if name not in DIMENSION_OF or unit in {Unit.CELSIUS, Unit.FAHRENHEIT}:
        return 1
    if unit is Unit.MMOL_L:
        return 2
    if unit in {Unit.MG_L, Unit.PPM}:
        return 2 if abs(shown) < 10 else 0
    return 1
