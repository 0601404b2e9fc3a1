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
)
from tubcare.desktop.work import Fault
from tubcare.errors import TubcareError
from tubcare.words.sentences.errors import trouble

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.calendar_day import DayQuestion
    from tubcare.desktop.screen import Context
    from tubcare.desktop.upkeep_side import UpkeepSide
    from tubcare.services.calendar import Line
    from tubcare.services.upkeep_model import Ticked


class Acting(QObject):
    """Does things to a line; what cannot be done is refused in the strip, with the reason."""

    moved = Signal(object)
    """Carries the date that a line went to."""
    details_opened = Signal(object)
    """Carries nothing (None): the details of work stand beside the calendar and want room."""
    details_closed = Signal(object)
    """Carries nothing (None): they are gone again."""

    def __init__(
        self,
        context: Context,
        question: DayQuestion,
        chosen: Callable[[], Line | None],
        side: UpkeepSide,
    ) -> None:
        super().__init__(side)
        self._side = side
        self._context = context
        self._question = question
        self._chosen = chosen
        self._asked: Line | None = None
        self._hears_pane = False
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
    def record(self) -> None:
        """Ask for all about the work of the chosen line; a round has no details of its own."""
        line = self._single()
        if line is not None and not self._refused(tick_refusal(self._context.speech, line)):
            self._side.record(line.entries[0].task, _key(line))

    @Slot()
    def skip(self) -> None:
        """Ask why the chosen line is dropped."""
        line = self._single()
        if line is not None and not self._refused(tick_refusal(self._context.speech, line)):
            self._side.skip(line.entries[0].task, _key(line))

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
        self._hear_pane()
        line = self._chosen()
        if line is None:
            self._context.strip.say(self._context.say("There is no task here; choose one first."))
        return line

    def _hear_pane(self) -> None:
        # The pane is made when it is first needed: not for looking at the calendar.
        if not self._hears_pane:
            self._hears_pane = True
            self._side.pane.opened.connect(self.details_opened)
            self._side.pane.closed.connect(self.details_closed)

    def _single(self) -> Line | None:
        line = self._line()
        if line is None or not line.is_round:
            return line
        say = self._context.say
        self._context.strip.say(say("A round is ticked off whole; “Tasks” has its parts."))
        return None

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
        line, ticked = done
        inspects = not line.is_round and line.entries[0].asks_result
        teller = self._side.teller
        (teller.inspected if inspects else teller.recorded)(ticked)

    def _say_moved(self, done: tuple[Line, tuple[Ticked, ...]]) -> None:
        line, moved = done
        self._context.strip.say(
            moved_text(self._context.speech, line, moved), undo=self._context.undo
        )
        to = moved[0].next_due
        if to is not None and to > line.on:
            self._side.teller.ask_about(moved)
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


def _key(line: Line) -> str | None:
    occurrence = line.entries[0].occurrence
    return None if occurrence is None else occurrence.key
