"""Ticks off and moves lines of the calendar, and says what came of it."""

from __future__ import annotations

from datetime import date, timedelta
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
    from collections.abc import Callable

    from tubcare.desktop.calendar_day import DayQuestion
    from tubcare.desktop.screen import Context
    from tubcare.services.calendar import Line
    from tubcare.services.upkeep import Ticked


class Acting(QObject):
    """Does things to a line; what cannot be done is refused in the strip, with the reason."""

    moved = Signal(object)
    """Carries the date that a line went to."""

    def __init__(
        self,
        context: Context,
        question: DayQuestion,
        chosen: Callable[[], Line | None],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._context = context
        self._question = question
        self._chosen = chosen
        self._asked: Line | None = None
        question.answered.connect(self._answer)

    @Slot()
    def tick(self) -> None:
        """Tick the chosen line off as usual, with Undo."""
        line = self._line()
        if line is None or self._refused(tick_refusal(self._context.speech, line)):
            return
        self._context.work.on_logbook(
            partial(_ticked, self._context, line),
            done=self._say_ticked,
            failed=self._refuse,
            title=self._context.say("Ticking off"),
        )

    @Slot()
    def open(self) -> None:
        """Show the task of the chosen line whole."""
        line = self._line()
        if line is not None:
            self._context.go("tasks", line.entries[0].task)

    @Slot(object)
    def move(self, to: date) -> None:
        """Move the chosen line to another day, with Undo."""
        line = self._line()
        if line is not None:
            self._move(line, to)

    @Slot()
    def later(self) -> None:
        """Move the chosen line to the next day."""
        self._move_by(1)

    @Slot()
    def earlier(self) -> None:
        """Move the chosen line to the day before."""
        self._move_by(-1)

    @Slot()
    def ask_move(self) -> None:
        """Ask for the day to move the chosen line to."""
        line = self._line()
        if line is None or self._refused(move_refusal(self._context.speech, line, date.max)):
            return
        say = self._context.say
        self._asked = line
        today, start = line.entries[0].today, max(line.on, line.entries[0].today)
        self._question.ask(say("Move to"), say("Move"), start, today, about=line.name)

    def _line(self) -> Line | None:
        line = self._chosen()
        if line is None:
            self._context.strip.say(self._context.say("There is no task here; choose one first."))
        return line

    def _refused(self, why_not: str) -> bool:
        if why_not:
            self._context.strip.say(why_not)
        return bool(why_not)

    def _move_by(self, days: int) -> None:
        line = self._line()
        if line is not None:
            self._move(line, line.on + timedelta(days=days))

    def _move(self, line: Line, to: date) -> None:
        if self._refused(move_refusal(self._context.speech, line, to)):
            return
        self._context.work.on_logbook(
            partial(_moved, self._context, line, to),
            done=self._say_moved,
            failed=self._refuse,
            title=self._context.say("Moving"),
        )

    @Slot(object)
    def _answer(self, to: date) -> None:
        if self._asked is not None:
            self._question.put_away()
            self._move(self._asked, to)

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
