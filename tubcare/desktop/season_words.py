"""Where a tub stands in its season, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.dates import medium_date
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.services.tub_states import SeasonNow
    from tubcare.services.tubs import Tub
    from tubcare.words.locale import Speech


def season_text(speech: Speech, now: SeasonNow) -> str:
    """Return where a tub stands in its season, in a sentence or two."""
    parts = []
    if now.state is None or now.since is None:
        parts.append(speech.say("No state is written down yet; the planned season counts."))
    else:
        parts.append(
            speech.say(
                "This tub is {state} since {day}.",
                state=word(speech, now.state),
                day=medium_date(speech, now.since),
            )
        )
    if now.first is not None:
        parts.append(
            speech.say_count(
                "The season began on {day}; it was open on {n} day.",
                "The season began on {day}; it was open on {n} days.",
                now.days_open,
                day=medium_date(speech, now.first),
            )
        )
    if now.ends_on is not None:
        day = medium_date(speech, now.ends_on)
        if now.ends_on < now.today:
            parts.append(speech.say("The closing was planned for {day}.", day=day))
        else:
            parts.append(speech.say("The closing is planned for {day}.", day=day))
    if now.opens_on is not None:
        day = medium_date(speech, now.opens_on)
        parts.append(speech.say("The opening is planned for {day}.", day=day))
    return " ".join(parts)


def state_line(speech: Speech, tub: Tub, now: SeasonNow) -> str:
    """Return the tub and the state it is in, as a line below a title."""
    if now.state is None or now.since is None:
        return tub.name
    return speech.say(
        "{tub} is {state} since {day}",
        tub=tub.name,
        state=word(speech, now.state),
        day=medium_date(speech, now.since),
    )
