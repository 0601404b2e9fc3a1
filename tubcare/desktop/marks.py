"""How the state of a piece of upkeep is shown: a shape and a word, the colour only comes along."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """The icon, the word and the theme colour of a state."""

    word: str
    icon: str
    colour: str


def _mark(word: str, name: str) -> Mark:
    return Mark(word=word, icon=name, colour=name)


MARKS: Final = {
    "overdue": _mark("Overdue", "overdue"),
    "late": _mark("Late", "late"),
    "due": _mark("Due", "due"),
    "coming": _mark("Coming", "coming"),
    "done": _mark("Done", "done"),
    "skipped": _mark("Skipped", "skipped"),
    "asleep": _mark("Asleep", "asleep"),
}
"""By the name of the state."""
