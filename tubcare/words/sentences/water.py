"""The water in words: values in the units of the kit, where they stand, what scale does."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from tubcare.values import Liner
from tubcare.water.completed import Scaling
from tubcare.water.judged import READING_OF, Judged, Standing, Unknown
from tubcare.water.ranges import Basis
from tubcare.water.strips import Source
from tubcare.words.dates import minutes as minutes_text
from tubcare.words.measures import measured_name
from tubcare.words.numbers import number
from tubcare.words.quantities import Unit, quantity
from tubcare.words.terms import Term, say_term, term
from tubcare.words.water_values import kit_distance, kit_figure, kit_value

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import timedelta

    from tubcare.water.completed import IndexNow
    from tubcare.water.kit import Kit
    from tubcare.water.ranges import Loosening, Range
    from tubcare.water.step_in import StepIn
    from tubcare.water.strips import Assumption
    from tubcare.words.locale import Speech

STANDINGS: Mapping[Standing, Term] = MappingProxyType(
    {
        Standing.INSIDE: term("water", "inside"),
        Standing.BELOW: term("water", "below"),
        Standing.ABOVE: term("water", "above"),
        Standing.UNKNOWN: term("water", "not known"),
    }
)
_UNKNOWN: Mapping[Unknown, Term] = MappingProxyType(
    {
        Unknown.NOT_MEASURED: term("water", "not measured yet"),
        Unknown.TOO_OLD: term("water", "the last value is too old to tell"),
        Unknown.BAND_ACROSS: term("water", "the colour spans the limit"),
    }
)
_BASES: Mapping[Basis, Term] = MappingProxyType(
    {
        Basis.SEEN: term("source", "read in the document"),
        Basis.SECOND_HAND: term("source", "quoted by another publication"),
        Basis.MEMORY: term("source", "from memory, check before quoting"),
        Basis.OWN: term("source", "own judgement, not a quotation"),
    }
)
_SOURCES: Mapping[Source, Term] = MappingProxyType(
    {
        Source.LAST_TEST: term("assumed", "from an earlier test"),
        Source.CARRIED: term("assumed", "worked out from what went in since"),
        Source.FILL_WATER: term("assumed", "from the fill water"),
        Source.TYPICAL: term("assumed", "a usual value, as nothing is known"),
        Source.BAND: term("assumed", "of all that its colour stands for, what asks for the least"),
    }
)
_FIELDS: Mapping[str, str] = MappingProxyType(
    {"calcium_mg_l": "hardness_mg_l", "cyanuric_acid_mg_l": "cyanurate_mg_l"}
)
_METALS = frozenset({Liner.ALUMINIUM, Liner.STAINLESS_STEEL})


def standing_text(speech: Speech, kit: Kit, each: Judged) -> str:
    """Return where a value stands and by how much: below by 0.4 mg/L."""
    if each.unknown is not None:
        return speech.say("not known: {why}", why=say_term(speech, _UNKNOWN[each.unknown]))
    if each.standing is Standing.INSIDE:
        return say_term(speech, STANDINGS[Standing.INSIDE])
    by = kit_distance(speech, kit, READING_OF[each.quantity], each.by)
    if each.standing is Standing.BELOW:
        return speech.say("below by {distance}", distance=by)
    return speech.say("above by {distance}", distance=by)


def range_text(speech: Speech, kit: Kit, limits: Range) -> str:
    """Return a range: 7.2 to 7.6, at most 0.5 mg/L."""
    name = READING_OF[limits.quantity]
    if limits.low is None and limits.high is not None:
        return speech.say("at most {value}", value=kit_value(speech, kit, name, limits.high))
    if limits.high is None and limits.low is not None:
        return speech.say("at least {value}", value=kit_value(speech, kit, name, limits.low))
    return speech.say(
        "{low} to {high}",
        low=kit_figure(speech, kit, name, limits.low or 0.0),
        high=kit_value(speech, kit, name, limits.high or 0.0),
    )


def range_source(speech: Speech, limits: Range, *, edited: bool) -> str:
    """Return the document and section behind a range, and how well it is documented."""
    told = speech.say(
        "{document}, {section} ({basis})",
        document=speech.own(limits.document),
        section=speech.own(limits.section),
        basis=say_term(speech, _BASES[limits.basis]),
    )
    if edited:
        return speech.say("changed by you; departs from {source}", source=told)
    return told


def loosened_text(speech: Speech, kit: Kit, warning: Loosening) -> str:
    """Return the warning about an end that a person moved outwards."""
    name = READING_OF[warning.quantity]
    default = kit_value(speech, kit, name, warning.default)
    if warning.edited is None:
        return speech.say(
            "Loosened: the document's limit of {limit} no longer holds for this tub.",
            limit=default,
        )
    return speech.say(
        "Loosened: {edited} lies beyond the document's {limit}.",
        edited=kit_value(speech, kit, name, warning.edited),
        limit=default,
    )


def age_text(speech: Speech, age: timedelta) -> str:
    """Return how long ago: 3 hours ago, 2 days ago."""
    hours = int(age.total_seconds() // 3600)
    if hours < 1:
        return speech.say("less than an hour ago")
    if hours < 48:
        return speech.say_count("{n} hour ago", "{n} hours ago", hours)
    return speech.say_count("{n} day ago", "{n} days ago", hours // 24)


def length_text(speech: Speech, length: timedelta) -> str:
    """Return a length of time, told upwards to the minute."""
    return minutes_text(speech, max(1, -int(-length.total_seconds() // 60)))


def index_text(speech: Speech, index: IndexNow, water_c: str) -> str:
    """Return the saturation index with its range; one decimal is all that a kit can carry."""
    value = _signed(speech, index.value)
    if index.high - index.low >= 0.2:
        return speech.say(
            "Saturation index {value} at {water} (between {low} and {high})",
            value=value,
            water=water_c,
            low=_signed(speech, index.low),
            high=_signed(speech, index.high),
        )
    return speech.say("Saturation index {value} at {water}", value=value, water=water_c)


def index_meaning(speech: Speech, index: IndexNow, liner: Liner) -> str:
    """Return what the index means for this liner."""
    match index.scaling:
        case Scaling.BALANCED:
            return speech.say("Lime neither falls out nor dissolves to speak of.")
        case Scaling.DEPOSITS:
            return speech.say(
                "Lime may fall out, up to {amount}: on the liner, in the filter and in the heat "
                "exchanger.",
                amount=quantity(speech, round(index.scale_mg_l), Unit.MG_PER_LITRE),
            )
        case Scaling.DISSOLVES:
            return _dissolves(speech, liner)


def assumed_text(speech: Speech, kit: Kit, assumed: Sequence[Assumption]) -> str:
    """Return what was not read with the test, empty when all was."""
    told = []
    for each in assumed:
        name = _FIELDS.get(each.field, each.field)
        told.append(
            speech.say(
                "{name} {value} ({source})",
                name=measured_name(speech, name),
                value=kit_value(speech, kit, name, each.value),
                source=say_term(speech, _SOURCES[each.source]),
            )
        )
    return speech.say("Assumed: {list}.", list="; ".join(told)) if told else ""


def step_in_text(speech: Speech, facts: StepIn) -> tuple[str, ...]:
    """Return the facts for whoever wants to step in; never a verdict on people."""
    if facts.drained:
        return (speech.say("The tub is closed and holds no water."),)
    told = []
    if facts.outside:
        told.append(
            speech.say_count(
                "{n} reading lies outside the tub's ranges.",
                "{n} readings lie outside the tub's ranges.",
                facts.outside,
            )
        )
    if facts.inside:
        told.append(
            speech.say_count(
                "{n} reading lies inside the tub's ranges.",
                "{n} readings lie inside the tub's ranges.",
                facts.inside,
            )
        )
    if facts.unknown:
        told.append(
            speech.say_count("{n} value is not known.", "{n} values are not known.", facts.unknown)
        )
    if facts.age is None:
        told.append(speech.say("This water was not tested yet."))
    else:
        told.append(speech.say("Tested {age}.", age=age_text(speech, facts.age)))
    if facts.added is not None:
        told.append(
            speech.say(
                "Something was added since that test, {age}; these values were read before it.",
                age=age_text(speech, facts.added),
            )
        )
    if facts.waiting is not None:
        told.append(
            speech.say(
                "The waiting time after a dose still runs: {length}.",
                length=length_text(speech, facts.waiting),
            )
        )
    else:
        told.append(speech.say("No waiting time after a dose is running."))
    return tuple(told)


def _dissolves(speech: Speech, liner: Liner) -> str:
    if liner in _METALS:
        return speech.say(
            "Lime dissolves. A metal liner gets no film of lime to help it: keep pH and chloride "
            "inside their ranges."
        )
    if liner is Liner.WOOD:
        return speech.say("Lime dissolves; that does a wooden liner no harm.")
    return speech.say(
        "Lime dissolves; that does this liner no harm. Copper in the unit is the part to watch."
    )


def _signed(speech: Speech, value: float) -> str:
    rounded = round(value, 1)
    sign = "+" if rounded > 0 else ""
    return f"{sign}{number(speech, rounded, 1)}"
