"""How the state of a piece of upkeep is shown: a shape and a word, the colour only comes along."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from tubcare.care.terms import Status
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.words.locale import Speech


@dataclass(frozen=True, slots=True)
class Mark:
    """The icon and the theme colour of a state."""

    icon: str
    colour: str


MARKS: Final = {status: Mark(status.value, status.value) for status in Status}


def state_word(speech: Speech, status: Status) -> str:
    """Return the word for a state, as it stands alone in a cell."""
    told = word(speech, status)
    return told[:1].upper() + told[1:]
