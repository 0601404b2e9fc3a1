"""What was written down about a tub, in words: what it is about, and its figure."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from tubcare.care.terms import Counter
from tubcare.water.kit import OBSERVED
from tubcare.words.dates import minutes
from tubcare.words.measures import measured_value
from tubcare.words.numbers import number
from tubcare.words.quantities import Unit, quantity
from tubcare.words.sentences.water_amounts import amount_text
from tubcare.words.water_values import field_label, observation

if TYPE_CHECKING:
    from tubcare.words.locale import Speech


class Recorded(Protocol):
    """Something that was written down; `kind` is dip, reading, dose, meter or fill."""

    @property
    def kind(self) -> str:
        """What kind of thing it is."""

    @property
    def name(self) -> str:
        """The quantity, the product, the counter or the kind of filling."""

    @property
    def amount(self) -> float:
        """How much or how many."""

    @property
    def unit(self) -> str:
        """Unit of a dose."""

    @property
    def minutes(self) -> float | None:
        """Length of a dip."""

    @property
    def water_c(self) -> float | None:
        """Temperature of the water in a dip."""

    @property
    def new_meter(self) -> bool:
        """Whether a meter was exchanged."""


def record_name(speech: Speech, record: Recorded) -> str:
    """Return what a record is about."""
    match record.kind:
        case "dip":
            parts = [speech.say("Dips")]
            if record.minutes is not None:
                parts.append(minutes(speech, round(record.minutes)))
            if record.water_c is not None:
                parts.append(measured_value(speech, "water_c", record.water_c))
            return ", ".join(parts)
        case "reading":
            return field_label(speech, record.name)
        case "dose":
            return speech.say("Added: {product}", product=record.name)
        case "meter":
            told = meter_word(speech, Counter(record.name))
            return speech.say("{meter}, new meter", meter=told) if record.new_meter else told
        case _:
            kind = dict(fill_words(speech)).get(record.name, record.name)
            return speech.say("Fresh water, {kind}", kind=kind)


def record_value(speech: Speech, record: Recorded) -> str:
    """Return the figure of a record, with its unit."""
    match record.kind:
        case "reading" if record.name in OBSERVED:
            return observation(speech, record.name, record.amount)
        case "reading":
            return measured_value(speech, record.name, record.amount)
        case "dose":
            return amount_text(speech, record.amount, record.unit)
        case "fill":
            return quantity(speech, record.amount, Unit.LITRE)
        case _:
            return number(speech, record.amount)


def meter_word(speech: Speech, counter: Counter) -> str:
    """Return what a meter is called, with the unit that it counts in."""
    return {
        Counter.KWH: speech.say("Power meter, kWh"),
        Counter.PUMP_H: speech.say("Pump, hours"),
        Counter.CHILLER_H: speech.say("Chiller, hours"),
        Counter.LITRE: speech.say("Water meter, litres"),
    }[counter]


def fill_words(speech: Speech) -> tuple[tuple[str, str], ...]:
    """Return the kinds of filling with the words for them."""
    return (
        ("change", speech.say("water changed")),
        ("fill", speech.say("first filling")),
        ("top_up", speech.say("topped up")),
    )
