"""What a finished procedure means for the tub."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.care.terms import TubState
    from tubcare.words.locale import Speech


def entered(speech: Speech, state: TubState) -> str:
    """Return that the tub entered a state: The tub is closed now."""
    return speech.say("The tub is {state} now.", state=word(speech, state))
