"""The open logbook as the frame of the window asks for it."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from tubcare.desktop.logbook import Standing
from tubcare.services.desk import setting
from tubcare.services.history import redo, redoable, undo, undoable
from tubcare.services.household import CURRENCY, is_started
from tubcare.services.tubs import tubs
from tubcare.services.week import this_week
from tubcare.words.locale import Speech, speech_for
from tubcare.words.sentences.actions import action

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.services.desk import Desk
    from tubcare.services.history import Action
    from tubcare.services.topics import Topics


class OpenLogbook:
    """Answers what the window's frame wants to know of a desk."""

    def __init__(self, desk: Desk, speech: Speech | None = None) -> None:
        """Take the desk and how actions are named; None names them as the system speaks."""
        self._desk = desk
        self._speech = speech_for(os.environ) if speech is None else speech

    @property
    def desk(self) -> Desk:
        """Where use cases work."""
        return self._desk

    @property
    def place(self) -> str:
        """The file or address, as shown to people."""
        return self._desk.store.place

    def needs_setup(self) -> bool:
        """Return whether this logbook is new and empty."""
        return not is_started(self._desk) or not tubs(self._desk)

    def currency(self) -> str:
        """Return the ISO 4217 code, empty while the logbook is not set up."""
        with self._desk.read() as connection:
            return setting(connection, CURRENCY) or ""

    def standing(self) -> Standing:
        """Return what can be undone and how much is due."""
        week = this_week(self._desk)
        return Standing(
            currency=self.currency(),
            undo=self._told(undoable(self._desk)),
            redo=self._told(redoable(self._desk)),
            due=len(week.late) + len(week.due_today),
        )

    def undo(self) -> str:
        """Take back the newest action; return it in words."""
        return self._told(undo(self._desk))

    def redo(self) -> str:
        """Do again what was taken back; return it in words."""
        return self._told(redo(self._desk))

    def on_change(self, listener: Callable[[Topics], None]) -> None:
        """Call `listener` after each use case that committed."""
        self._desk.on_change(listener)

    def close(self) -> None:
        """Let go of the file."""
        self._desk.store.close()

    def _told(self, done: Action | None) -> str:
        if done is None:
            return ""
        return action(self._speech, done.label, done.subject)
