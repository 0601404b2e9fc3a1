"""Writes the plan to a file for other calendar programs."""

from __future__ import annotations

from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Slot
from PySide6.QtWidgets import QFileDialog, QWidget

from tubcare.desktop.speaking import speech_of
from tubcare.desktop.work import Fault
from tubcare.exchange.plan_calendar import plan_calendar
from tubcare.services.calendar import calendar

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context

DAYS_AHEAD = 365


class CalendarExport(QObject):
    """Asks where to, writes a year of the plan, and says so."""

    def __init__(self, context: Context, parent: QWidget) -> None:
        super().__init__(parent)
        self._context = context
        self._parent = parent

    @Slot()
    def ask(self) -> None:
        """Ask for a file and write to it."""
        say = self._context.say
        chosen, _kind = QFileDialog.getSaveFileName(
            self._parent, say("Export the plan"), "tubcare.ics", "iCalendar (*.ics)"
        )
        if chosen:
            self.export_to(Path(chosen))

    def export_to(self, path: Path) -> None:
        """Write what is open and foreseen in the next year, for all tubs."""
        self._context.work.on_logbook(
            partial(_write, self._context, path),
            done=self._say_written,
            failed=self._say_refused,
            title=self._context.say("Exporting the plan"),
        )

    def _say_written(self, path: Path) -> None:
        say = self._context.say
        text = say("Written: {file}. What is foreseen is marked as tentative.", file=str(path))
        self._context.strip.say(text)

    def _say_refused(self, error: BaseException) -> None:
        if not isinstance(error, OSError):
            title = self._context.say("Exporting the plan")
            self._context.work.faulted.emit(Fault(title=title, error=error))
            return
        text = self._context.say(
            "{file} cannot be written: {reason}. Choose another place.",
            file=str(error.filename),
            reason=error.strerror,
        )
        self._context.strip.say(text)


def _write(context: Context, path: Path) -> Path:
    desk = context.desk
    today = desk.home_today()
    found = calendar(desk, today, today + timedelta(days=DAYS_AHEAD))
    speech = speech_of(desk, context.speech)
    text = plan_calendar(found, speech, logbook=context.place, now=desk.now())
    path.write_bytes(text.encode())
    return path
