"""What the entry of a test says: the value before, and what it asks about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.water.doubt import DoubtKind
from tubcare.water.kit import OBSERVED
from tubcare.words.numbers import number
from tubcare.words.sentences.water import age_text
from tubcare.words.water_values import (
    field_label,
    kit_figure,
    kit_value,
    observation,
    sighting_text,
)

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from tubcare.water.doubt import EntryDoubt
    from tubcare.water.judged import Sighting
    from tubcare.water.kit import Kit
    from tubcare.words.locale import Speech


def last_text(speech: Speech, kit: Kit, name: str, last: Sighting, now: datetime) -> str:
    """Return the value before: last 7.4, 3 days ago."""
    if name in OBSERVED:
        value = observation(speech, name, last.value)
    else:
        value = sighting_text(speech, kit, name, last)
    return speech.say("last {value}, {age}", value=value, age=age_text(speech, now - last.at))


def doubt_text(speech: Speech, kit: Kit, doubt: EntryDoubt) -> str:
    """Return what is asked about a value."""
    name = doubt.name
    value = kit_value(speech, kit, name, doubt.value)
    last = kit_value(speech, kit, name, doubt.last or 0.0)
    label = field_label(speech, name)
    match doubt.kind:
        case DoubtKind.TOTAL_BELOW_FREE:
            return speech.say(
                "Total chlorine {total} is less than the free {free}; one of them is misread.",
                total=value,
                free=last,
            )
        case DoubtKind.JUMP:
            return speech.say(
                "{name} {value} is far from the last {last}.", name=label, value=value, last=last
            )
        case DoubtKind.UNUSUAL:
            return speech.say(
                "{name} {value} is unusual; {low} to {high} is common.",
                name=label,
                value=value,
                low=kit_figure(speech, kit, name, doubt.low or 0.0),
                high=kit_value(speech, kit, name, doubt.high or 0.0),
            )


def ticked_text(speech: Speech, titles: Sequence[str]) -> str:
    """Return which tasks a test was the work of, empty for none."""
    if not titles:
        return ""
    return speech.say("Ticked off with it: {tasks}.", tasks=", ".join(titles))


def warm_sample_text(speech: Speech, read: float, carried: float) -> str:
    """Return what the pH of a warm sample is in the tub."""
    return speech.say(
        "pH {read} as read is {carried} at the temperature of the tub.",
        read=number(speech, read, 2),
        carried=number(speech, carried, 2),
    )
