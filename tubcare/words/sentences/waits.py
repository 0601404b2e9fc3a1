"""How long to wait between two steps, and which wait was not waited for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.numbers import plain_number

if TYPE_CHECKING:
    from tubcare.words.locale import Speech


def wait_text(speech: Speech, hours: float) -> str:
    """Return how long to wait after the step before: wait 12 hours after the step before."""
    if hours < 1:
        return speech.say_count(
            "wait {n} minute after the step before",
            "wait {n} minutes after the step before",
            round(hours * 60),
        )
    shown = plain_number(speech, hours)
    # A fraction takes the form for many in each language there are sentences in.
    return speech.say_count(
        "wait {hours} hour after the step before",
        "wait {hours} hours after the step before",
        1 if hours == 1 else 2,
        hours=shown,
    )


def cut_short_text(speech: Speech, after: int, until: str, *, is_over: bool) -> str:
    """Return after which step the wait runs that another was done in, and until what time."""
    number = plain_number(speech, after)
    if is_over:
        return speech.say(
            "It was done in the wait after step {number}, which ran until {time}.",
            number=number,
            time=until,
        )
    return speech.say(
        "The wait after step {number} runs until {time}; a longer time on the label wins.",
        number=number,
        time=until,
    )
