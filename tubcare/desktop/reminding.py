"""Reminders while the window runs: in the window, on the desktop, and what is pressed there."""

from __future__ import annotations

import os
import time
import uuid
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from tubcare.desktop.notices import Answer, Notice
from tubcare.desktop.wakeups import AnswerWatch, Wakeups
from tubcare.errors import NotFoundError
from tubcare.reminders.notifiers import Answered, Everywhere, Press, desktop_notes, presses_of
from tubcare.reminders.post import LONGEST_REST, Post
from tubcare.reminders.session import OnScreen, SessionFile
from tubcare.reminders.wording import SpokenNotes
from tubcare.services.backups import daily_backup
from tubcare.services.power_due import fill_if_due
from tubcare.services.tubs import tubs
from tubcare.services.upkeep_tick import tick_off

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.reminders.notes import Note
    from tubcare.reminders.post import Gathered
    from tubcare.services.desk import Desk
    from tubcare.services.reminder_rows import ReminderKey

PROGRAM = "tubcare"
_NOTE = "reminder "


class NoticePlace:
    """Notes as notices inside the window, with the same buttons as on the desktop."""

    def __init__(self, context: Context, words: SpokenNotes, reminders: WindowReminders) -> None:
        self._context = context
        self._words = words
        self._reminders = reminders

    def show(self, note: Note) -> None:
        """Show a note; one with the same tag replaces the earlier one."""
        answers = tuple(
            Answer(
                text=self._words.button(press),
                call=partial(self._reminders.act, Answered(tag=note.tag, press=press)),
            )
            for press in presses_of(note)
        )
        self._context.notices.put(
            Notice(
                key=_NOTE + note.tag,
                title=self._words.title(note),
                text=self._words.body(note),
                answers=answers,
            )
        )

    def withdraw(self, tag: str) -> None:
        """Take a note away."""
        self._context.notices.withdraw(_NOTE + tag)


class WindowReminders(QObject):
    """Looks when it is time, shows what is due, acts on what is pressed; backs up each day."""

    _changed = Signal(object)

    def __init__(self, context: Context, *, names_tubs: bool, parent: QObject) -> None:
        super().__init__(parent)
        self._context = context
        self._desk = context.desk
        self._backed_up_on: date | None = None
        self._mark = 0
        words = SpokenNotes(context.speech, names_tubs=names_tubs)
        self._notes = desktop_notes(words, PROGRAM, "org.tubcare.Tubcare", _kept("notes"))
        outside = [] if self._notes is None else [self._notes]
        place = NoticePlace(context, words, self)
        self._post = Post(
            self._desk,
            self._desk.actor,
            f"{os.getpid()} {uuid.uuid4().hex[:12]}",
            Everywhere(place, outside),
            OnScreen(_kept("on-screen")),
        )
        self.wakeups = Wakeups(self._desk.clock, time.monotonic, self)
        self.wakeups.beat.connect(self._ask_for_news)
        self.wakeups.look_due.connect(self._look)
        self._changed.connect(self.wakeups.changed)
        self._desk.on_change(self._changed.emit)
        self._watch: AnswerWatch | None = None
        if self._notes is not None:
            self._watch = AnswerWatch(self._notes, self)
            self._watch.answered.connect(self.act)

    def start(self) -> None:
        """Begin, with a look at once."""
        self._ask_for_news()
        self.wakeups.start()

    def stop(self) -> None:
        """End; nothing is shown any more."""
        self.wakeups.stop()
        if self._watch is not None:
            self._watch.stop()
        if self._notes is not None:
            self._notes.close()

    @Slot(object)
    def act(self, answered: Answered) -> None:
        """Do what a button says: show the week, tick off, or remind again tomorrow."""
        if answered.press is Press.OPEN:
            self._context.go("week")
            return
        keys = self._post.keys_of(answered.tag)
        call = partial(_tick, self._desk, keys)
        if answered.press is Press.TOMORROW:
            call = partial(self._tomorrow, keys)
        self._context.work.on_logbook(
            call, done=self._acted, title=self._context.say("Acting on a reminder")
        )

    def _tomorrow(self, keys: Iterable[ReminderKey]) -> int:
        self._post.tomorrow(keys)
        return 0

    def _acted(self, _count: int) -> None:
        self._look()

    @Slot()
    def _look(self) -> None:
        self._context.work.on_logbook(
            self._gather,
            done=self._hand_over,
            failed=self._missed,
            title=self._context.say("Looking at the reminders"),
            replaces="reminders",
        )

    def _gather(self) -> Gathered:
        today = self._desk.now().date()
        if self._backed_up_on != today:
            daily_backup(self._desk)
            self._backed_up_on = today
            fill_if_due(self._desk)
        return self._post.gather()

    def _hand_over(self, gathered: Gathered) -> None:
        delivery = self._post.hand_over(gathered)
        self.wakeups.looked(delivery.next_look)

    def _missed(self, error: BaseException) -> None:
        """Try again later: the logbook is busy, or there is nobody in it yet to remind."""
        if isinstance(error, NotFoundError):
            # Whoever adds them changes the logbook, which brings the next look by itself.
            self.wakeups.looked(self._desk.now() + LONGEST_REST)
        else:
            self.wakeups.failed()

    @Slot()
    def _ask_for_news(self) -> None:
        """Ask in the background: a server that is away must not hold up the window."""
        self._context.work.on_logbook(
            self._desk.store.change_mark,
            done=self._compare,
            failed=self._no_news,
            title=self._context.say("Looking at the reminders"),
            replaces="news",
        )

    def _no_news(self, _error: BaseException) -> None:
        """Leave it to the next beat."""

    def _compare(self, mark: int) -> None:
        before, self._mark = self._mark, mark
        if before not in {0, mark}:
            self.wakeups.news()


def names_tubs(desk: Desk) -> bool:
    """Return whether there are several tubs, so that notes name them."""
    return len(tubs(desk)) > 1


def _tick(desk: Desk, keys: Iterable[ReminderKey]) -> int:
    done = 0
    for key in keys:
        tick_off(desk, key.task, key.key)
        done += 1
    return done


def _kept(name: str) -> SessionFile:
    folder = os.environ.get("XDG_RUNTIME_DIR", "")
    return SessionFile(Path(folder) / f"tubcare-{name}.json" if folder else None)
