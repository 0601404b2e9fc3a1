"""Reminders in a terminal: once, or until stopped."""

from __future__ import annotations

import os
import time
import uuid
from typing import TYPE_CHECKING

from tubcare.reminders.notifiers import Press, Printed
from tubcare.reminders.post import Post
from tubcare.reminders.terminal import stay as keep_reminding
from tubcare.words.dates import relative_day
from tubcare.words.sentences.why import why
from tubcare.words.terms import word

if TYPE_CHECKING:
    from tubcare.cli.output import Output
    from tubcare.reminders.notes import Note
    from tubcare.services.desk import Desk
    from tubcare.words.locale import Speech


class TerminalWords:
    """Says a note in one line for each task."""

    def __init__(self, speech: Speech) -> None:
        self._speech = speech

    def title(self, note: Note) -> str:
        """Return the first line."""
        if note.is_digest:
            return f"{len(note.items)} tasks are waiting"
        return note.items[0].title

    def body(self, note: Note) -> str:
        """Return what is below it."""
        lines = []
        for item in note.items:
            each = item.occurrence
            due = relative_day(self._speech, each.due_on, item.today)
            reason = why(self._speech, each, item.today)
            name = f"{item.title}: " if note.is_digest else ""
            lines.append(f"{name}{word(self._speech, each.status)}, {due}; {reason}")
        return "\n".join(lines)

    def button(self, press: Press) -> str:
        """Return what a button says."""
        return press.value.replace("_", " ")


def run_reminders(desk: Desk, output: Output, *, stay: bool) -> None:
    """Show what is due as reminders, once or until interrupted."""
    owner = f"{os.getpid()} {uuid.uuid4().hex[:12]}"
    printed = Printed(TerminalWords(output.speech), output.stream)
    post = Post(desk, desk.actor, owner, printed)
    if not stay:
        shown = post.look().shown
        if not shown:
            output.line("No reminder is due.")
        return
    try:
        keep_reminding(post, desk.clock, _pause)
    except KeyboardInterrupt:
        output.line("Stopped.")


def _pause(seconds: float) -> bool:
    time.sleep(seconds)
    return True
