"""Ticks off and moves lines of the calendar, and says what came of it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from tubcare.desktop.calendar_acts import (
    move_line,
    move_refusal,
    moved_text,
    tick_line,
    tick_refusal,
    ticked_text,
)
from tubcare.desktop.work import Fault
from tubcare.errors import TubcareError
from tubcare.words.sentences.errors import trouble

if TYPE_CHECKING:
    from datetime import date

    from tubcare.desktop.calendar_day import DayQuestion
    from tubcare.desktop.screen import Context
    from tubcare.services.calendar import Line
    from tubcare.services.upkeep import Ticked


class Acting(QObject):
    """Does things to a line; what cannot be done is refused in the strip, with the reason."""

    moved = Signal(object)
    """Carries the date that a line went to."""

    def __init__(self, context: Context, question: DayQuestion, parent: QObject) -> None:
        super().__init__(parent)
        self._context = context
        self._question = question
        self._asked: Line | None = None
        question.answered.connect(self._answer)

    def tick(self, line: Line) -> None:
        """Tick a line off as usual, with Undo."""
        why_not = tick_refusal(self._context.speech, line)
        if why_not:
            self._context.strip.say(why_not)
            return
        self._context.work.on_logbook(
            partial(_ticked, self._context, line),
            done=self._say_ticked,
            failed=self._refuse,
            title=self._context.say("Ticking off"),
        )

    def move(self, line: Line, to: date) -> None:
        """Move a line to another day, with Undo."""
        why_not = move_refusal(self._context.speech, line, to)
        if why_not:
            self._context.strip.say(why_not)
            return
        self._context.work.on_logbook(
            partial(_moved, self._context, line, to),
            done=self._say_moved,
            failed=self._refuse,
            title=self._context.say("Moving"),
        )

    def ask_move(self, line: Line) -> None:
        """Ask for the day to move a line to."""
        why_not = move_refusal(self._context.speech, line, type(line.on).max)
        if why_not:
            self._context.strip.say(why_not)
            return
        say = self._context.say
        self._asked = line
        label = say("Move “{what}” to", what=line.name)
        today = line.entries[0].today
        self._question.ask(label, say("Move"), max(line.on, today), today)

    @Slot(object)
    def _answer(self, to: date) -> None:
        if self._asked is not None:
            self._question.put_away()
            self.move(self._asked, to)

    def _say_ticked(self, done: tuple[Line, tuple[Ticked, ...]]) -> None:
        text = ticked_text(self._context.speech, *done)
        self._context.strip.say(text, undo=self._context.undo)

    def _say_moved(self, done: tuple[Line, tuple[Ticked, ...]]) -> None:
        text = moved_text(self._context.speech, *done)
        self._context.strip.say(text, undo=self._context.undo)
        to = done[1][0].next_due
        if to is not None:
            self.moved.emit(to)

    def _refuse(self, error: BaseException) -> None:
        if isinstance(error, TubcareError):
            told = trouble(self._context.speech, error)
            self._context.strip.say(" ".join(told.lines))
        else:
            title = self._context.say("The calendar")
            self._context.work.faulted.emit(Fault(title=title, error=error))


def _ticked(context: Context, line: Line) -> tuple[Line, tuple[Ticked, ...]]:
    return line, tick_line(context.desk, line)


def _moved(context: Context, line: Line, to: date) -> tuple[Line, tuple[Ticked, ...]]:
    return line, move_line(context.desk, line, to)
