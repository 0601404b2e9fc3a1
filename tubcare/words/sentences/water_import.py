"""What a file of readings would bring, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.dates import medium_date
from tubcare.words.sentences.reasons import reason_told

if TYPE_CHECKING:
    from datetime import date

    from tubcare.words.locale import Speech


def preview_text(speech: Speech, new: int, known: int, span: tuple[date, date] | None) -> str:
    """Return how many values are new and how many the logbook holds already."""
    told = speech.say_count("{n} new value", "{n} new values", new)
    if span is not None:
        told = speech.say(
            "{values}, {first} to {last}",
            values=told,
            first=medium_date(speech, span[0]),
            last=medium_date(speech, span[1]),
        )
    if known:
        told = speech.say_count(
            "{values}; {n} is in the logbook already and stays",
            "{values}; {n} are in the logbook already and stay",
            known,
            values=told,
        )
    return speech.say("{told}.", told=told)


def fault_text(speech: Speech, line: int, reason: str) -> str:
    """Return why a line cannot be used."""
    return speech.say("Line {line}: {reason}.", line=line, reason=reason_told(speech, reason))
