"""A screen that remembers what it was shown, and can die at the worst moment."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum, auto
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tubcare.reminders.notes import Note


class Death(Enum):
    """When the program is killed."""

    BEFORE_SHOW = auto()
    BEFORE_MARK = auto()


class KilledError(BaseException):
    """The program is gone, as by kill -9: nobody catches this but the test."""


@dataclass
class Screen:
    """What a person sees: notes by tag, and everything that ever was shown."""

    notes: dict[str, Note] = field(default_factory=dict)
    shown: list[Note] = field(default_factory=list)
    withdrawn: list[str] = field(default_factory=list)
    death: Death | None = None

    def show(self, note: Note) -> None:
        if self.death is Death.BEFORE_SHOW:
            raise KilledError
        self.shown.append(note)
        self.notes[note.tag] = note
        if self.death is Death.BEFORE_MARK:
            raise KilledError

    def withdraw(self, tags: Iterable[str]) -> None:
        for tag in tags:
            self.withdrawn.append(tag)
            self.notes.pop(tag, None)

    def steps(self) -> list[list[str]]:
        """Return the steps of each note since it was asked last."""
        found = [[key.step for key in note.keys] for note in self.shown]
        self.shown.clear()
        return found
