"""The agenda: the days of a month one below the other, and first what is late from before."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.care.terms import Status
from tubcare.desktop.calendar_words import line_mark, line_name, line_state, line_why, turn_text
from tubcare.desktop.marks import Mark
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.words.dates import weekday_date

if TYPE_CHECKING:
    from collections.abc import Hashable
    from datetime import date

    from tubcare.desktop.calendar_model import MonthShown
    from tubcare.desktop.screen import Context
    from tubcare.services.calendar import Line
    from tubcare.services.calendar_season import SeasonTurn

_TURN = Mark("tub", "muted")


@dataclass(frozen=True, slots=True, kw_only=True)
class AgendaRow:
    """One line of a day, or a turn of the season."""

    on: date
    line: Line | None = None
    turn: SeasonTurn | None = None


def line_identity(line: Line) -> Hashable:
    """Return what makes a line the same line after a refresh."""
    entry = line.entries[0]
    if entry.completion is not None:
        return ("closed", entry.completion)
    key = entry.occurrence.key if entry.occurrence is not None else ""
    return (line.kind, entry.task, key)


def rows_of_month(shown: MonthShown) -> list[AgendaRow]:
    """Return what is late from before the month, then each line and turn of its days."""
    inside = [day for day in shown.calendar.days if day.on.month == shown.month.month]
    rows = [AgendaRow(on=line.on, line=line) for line in _late_before(shown)]
    for day in inside:
        rows += [AgendaRow(on=day.on, turn=turn) for turn in day.turns]
        rows += [AgendaRow(on=day.on, line=line) for line in day.lines]
    return rows


def _late_before(shown: MonthShown) -> list[Line]:
    calendar = shown.calendar
    if calendar.today.replace(day=1) != shown.month:
        return []
    leading = [
        line for d in calendar.days if d.on < shown.month for line in d.lines if _late(line)
    ]
    return [*calendar.before, *leading]


def _late(line: Line) -> bool:
    return line.status in {Status.LATE, Status.OVERDUE}


class Agenda(Table[AgendaRow]):
    """Shows a month as a list."""

    def __init__(self, context: Context) -> None:
        say = context.say
        self._shown: MonthShown | None = None
        self._speech = context.speech
        columns = (
            Column[AgendaRow](key="day", title=say("Day"), text=self._day),
            Column[AgendaRow](
                key="task", title=say("Task"), text=self._name, mark=_mark, stretch=True
            ),
            Column[AgendaRow](key="state", title=say("State"), text=self._state_word),
            Column[AgendaRow](key="why", title=say("Why"), text=self._why, stretch=True),
        )
        model = RowsModel(columns, context.icons, identity=_identity)
        super().__init__(say("Agenda"), "agenda", model, context.keeping)
        # A month is short enough to measure whole: what is done comes first and has short words.
        self.horizontalHeader().setResizeContentsPrecision(-1)

    def show_month(self, shown: MonthShown) -> None:
        """Show a month in place of what was shown."""
        self._shown, self._speech = shown, shown.speech
        self.rows_model.set_rows(rows_of_month(shown))

    def choose_day(self, on: date) -> None:
        """Make the first row from a day on the current one, the last when there is none."""
        rows = self.rows_model.rows
        at = next((n for n, row in enumerate(rows) if row.on >= on), len(rows) - 1)
        if at >= 0:
            index = self.rows_model.index(at, 0)
            self.setCurrentIndex(index)
            self.scrollTo(index, Table.ScrollHint.PositionAtTop)

    def _day(self, row: AgendaRow) -> str:
        return weekday_date(self._speech, row.on)

    def _name(self, row: AgendaRow) -> str:
        if row.turn is not None:
            return turn_text(self._speech, row.turn)
        assert row.line is not None  # noqa: S101  a row holds one of the two
        return line_name(self._speech, row.line, tubs=self._tubs())

    def _state_word(self, row: AgendaRow) -> str:
        return "" if row.line is None else line_state(self._speech, row.line)

    def _why(self, row: AgendaRow) -> str:
        return "" if row.line is None else line_why(self._speech, row.line)

    def _tubs(self) -> int:
        return 0 if self._shown is None else len(self._shown.calendar.seasons)


def _mark(row: AgendaRow) -> Mark:
    return _TURN if row.line is None else line_mark(row.line)


def _identity(row: AgendaRow) -> Hashable:
    if row.turn is not None:
        return (row.on, row.turn.tub, row.turn.state, row.turn.frost)
    return None if row.line is None else line_identity(row.line)
