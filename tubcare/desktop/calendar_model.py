"""The days of a month as a grid: one row for each week, one column for each day of the week."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt
from typing_extensions import override

from tubcare.desktop.calendar_words import day_spoken, line_spoken
from tubcare.words.dates import first_weekday, weekday
from tubcare.words.escape import as_markup

if TYPE_CHECKING:
    from tubcare.services.calendar import Calendar, Day
    from tubcare.words.locale import Speech

Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_Role = Qt.ItemDataRole
DAY_ROLE = _Role.UserRole
WEEK = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthShown:
    """The weeks around a month together with the words to show them in."""

    month: date
    """The first day of the month."""
    calendar: Calendar
    speech: Speech


def weeks_around(day: date, first_day: int) -> tuple[date, date]:
    """Return the first and the last day of the weeks that the month of a day reaches into.

    Parameters
    ----------
    first_day
        The day that a week starts on, Monday 0 to Sunday 6.
    """
    start = day.replace(day=1)
    end = (start + timedelta(days=31)).replace(day=1) - timedelta(days=1)
    first = start - timedelta(days=(start.weekday() - first_day) % WEEK)
    return first, end + timedelta(days=WEEK - 1 - (end.weekday() - first_day) % WEEK)


class MonthModel(QAbstractTableModel):
    """Shows the month handed to it; it reads no logbook."""

    def __init__(self) -> None:
        super().__init__()
        self.shown: MonthShown | None = None

    def show_month(self, shown: MonthShown) -> None:
        """Show a month in place of what was shown."""
        self.beginResetModel()
        self.shown = shown
        self.endResetModel()

    def day_at(self, index: Index) -> Day | None:
        """Return the day of a cell."""
        if self.shown is None or not index.isValid():
            return None
        return self.shown.calendar.days[index.row() * WEEK + index.column()]

    def index_of(self, on: date) -> QModelIndex:
        """Return the cell of a day, an invalid index when it is not shown."""
        if self.shown is None or self.shown.calendar.day(on) is None:
            return QModelIndex()
        row, column = divmod((on - self.shown.calendar.days[0].on).days, WEEK)
        return self.index(row, column)

    @override
    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return the number of weeks."""
        if parent.isValid() or self.shown is None:
            return 0
        return len(self.shown.calendar.days) // WEEK

    @override
    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return the seven days of the week."""
        return 0 if parent.isValid() else WEEK

    @override
    def data(self, index: Index, role: int = _Role.DisplayRole) -> object:
        """Return the number of a day, the whole day in words, or the `Day` itself."""
        day = self.day_at(index)
        if day is None or self.shown is None:
            return None
        if role == _Role.DisplayRole:
            return str(day.on.day)
        if role == _Role.AccessibleTextRole:
            return day_spoken(self.shown.speech, day, self.shown.calendar)
        if role == _Role.ToolTipRole:
            return self._tip(day, self.shown)
        return day if role == DAY_ROLE else None

    def _tip(self, day: Day, shown: MonthShown) -> str | None:
        tubs = len(shown.calendar.seasons)
        told = [line_spoken(shown.speech, line, tubs=tubs) for line in day.lines]
        # Marked up, else Qt would read a title with angle brackets as markup of its own.
        text = as_markup("\n".join(told))
        return f"<p>{text}</p>" if told else None

    @override
    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = _Role.DisplayRole
    ) -> object:
        """Return the names of the days of the week, in the locale's order."""
        if self.shown is None or orientation is not Qt.Orientation.Horizontal:
            return None
        if role != _Role.DisplayRole:
            return None
        speech = self.shown.speech
        # 5 January 1970 was a Monday.
        return weekday(speech, date(1970, 1, 5 + (first_weekday(speech) + section) % WEEK))
