"""What a note says, in the person's words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.reminders.notifiers import Press
from tubcare.words.sentences.reminders import (
    NoteText,
    Reminded,
    digest,
    nudge,
    tick_off_button,
    tomorrow_button,
)

if TYPE_CHECKING:
    from tubcare.reminders.notes import Note
    from tubcare.services.week import DueItem
    from tubcare.words.locale import Speech


class SpokenNotes:
    """Makes the sentences of notes; tubs are named where there are several."""

    def __init__(self, speech: Speech, *, names_tubs: bool) -> None:
        self._speech = speech
        self._names_tubs = names_tubs

    def title(self, note: Note) -> str:
        """Return the one line that is always seen."""
        return self._text(note).title

    def body(self, note: Note) -> str:
        """Return the lines below it, as plain text."""
        return self._text(note).body

    def button(self, press: Press) -> str:
        """Return what a button says."""
        if press is Press.TICK_OFF:
            return tick_off_button(self._speech)
        if press is Press.TOMORROW:
            return tomorrow_button(self._speech)
        return self._speech.say("Open")

    def _text(self, note: Note) -> NoteText:
        today = note.items[0].today
        told = [self._reminded(item) for item in note.items]
        if note.is_digest:
            return digest(self._speech, told, today)
        return nudge(self._speech, told[0], today)

    def _reminded(self, item: DueItem) -> Reminded:
        return Reminded(
            title=item.title,
            due_on=item.occurrence.due_on,
            status=item.occurrence.status,
            tub=item.tub_name if self._names_tubs else "",
            minutes=item.minutes,
        )
