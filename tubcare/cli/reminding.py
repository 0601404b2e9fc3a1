"""Reminders in a terminal: once, or until stopped."""

from __future__ import annotations

import os
import time
import uuid
from io import StringIO
from typing import TYPE_CHECKING

from tubcare.reminders.notifiers import Printed
from tubcare.reminders.post import Post
from tubcare.reminders.terminal import stay as keep_reminding
from tubcare.reminders.wording import SpokenNotes
from tubcare.services.tubs import tubs

if TYPE_CHECKING:
    from tubcare.cli.output import Output
    from tubcare.services.desk import Desk


def run_reminders(desk: Desk, output: Output, *, stay: bool) -> None:
    """Show what is due as reminders, once or until interrupted."""
    owner = f"{os.getpid()} {uuid.uuid4().hex[:12]}"
    words = SpokenNotes(output.speech, names_tubs=len(tubs(desk)) > 1)
    printed = Printed(words, StringIO() if output.as_json and not stay else output.stream)
    post = Post(desk, desk.actor, owner, printed)
    if not stay:
        shown = post.look().shown
        output.data(
            {"shown": [{"title": words.title(note), "text": words.body(note)} for note in shown]}
        )
        if not shown:
            output.line(output.speech.say("No reminder is due."))
        return
    try:
        keep_reminding(post, desk.clock, _pause)
    except KeyboardInterrupt:
        output.line(output.speech.say("Stopped."))


def _pause(seconds: float) -> bool:
    time.sleep(seconds)
    return True
