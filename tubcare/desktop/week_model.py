"""The rows of This week: groups by day, tasks and rounds below them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QStandardItem, QStandardItemModel

from tubcare.desktop.marks import MARKS
from tubcare.services.week import DueItem, RoundItem, in_rounds
from tubcare.words.dates import minutes, relative_day, weekday_date
from tubcare.words.money import money
from tubcare.words.sentences.why import why

if TYPE_CHECKING:
    from tubcare.desktop.icons import Icons
    from tubcare.services.week import Week
    from tubcare.words.locale import Speech

Row = DueItem | RoundItem
ROW_ROLE = Qt.ItemDataRole.UserRole + 1


class Column(IntEnum):
    """Columns in the order shown."""

    TASK = 0
    STATE = 1
    DUE = 2
    WHY = 3
    COST = 4
    TICK = 5


HEADS = ("Task", "State", "Due", "Why", "Usual cost", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekShown:
    """A week together with the words to show it in."""

    week: Week
    speech: Speech


class WeekModel(QStandardItemModel):
    """Shows a week handed to it; it reads no logbook."""

    def __init__(self, icons: Icons) -> None:
        super().__init__()
        self._icons = icons
        self.setHorizontalHeaderLabels(list(HEADS))

    def show_week(self, shown: WeekShown) -> None:
        """Show a week in place of what was shown."""
        self.setRowCount(0)
        week, speech = shown.week, shown.speech
        self._group("Late", week.late, shown)
        self._group(f"Today, {weekday_date(speech, week.today)}", week.due_today, shown)
        for day in week.days:
            self._group(weekday_date(speech, day.on), day.items, shown)
        self._group("Later", week.later, shown)

    def first_task(self) -> QStandardItem | None:
        """Return the first row that can be ticked off."""
        for at in range(self.rowCount()):
            group = self.item(at)
            if group.rowCount():
                return group.child(0)
        return None

    def _group(self, title: str, items: tuple[DueItem, ...], shown: WeekShown) -> None:
        if not items:
            return
        head = QStandardItem(title)
        font = head.font()
        font.setBold(True)
        head.setFont(font)
        head.setFlags(Qt.ItemFlag.ItemIsEnabled)
        for row in in_rounds(items):
            if isinstance(row, DueItem):
                head.appendRow(self._task(row, shown))
            else:
                head.appendRow(self._round(row, shown))
        self.appendRow([head])

    def _task(self, item: DueItem, shown: WeekShown) -> list[QStandardItem]:
        each, speech = item.occurrence, shown.speech
        mark = MARKS[each.status.value]
        title = f"{item.title} · {item.tub_name}" if shown.week.tubs > 1 else item.title
        due = relative_day(speech, each.due_on, item.today)
        cells = [
            _cell(title, item),
            _cell(mark.word, item),
            _cell(f"about {due}" if each.about else due, item),
            _cell(why(speech, each, item.today), item),
            _cell(money(speech, item.expected_minor) if item.expected_minor else "", item),
            _cell("", item),
        ]
        cells[Column.STATE].setIcon(self._icons.icon(mark.icon, mark.colour))
        cells[Column.DUE].setToolTip(weekday_date(speech, each.due_on))
        cells[Column.WHY].setToolTip(cells[Column.WHY].text())
        spoken = f"{title}, {mark.word}, {due}"
        cells[Column.TASK].setData(spoken, Qt.ItemDataRole.AccessibleTextRole)
        _to_the_right(cells[Column.COST])
        return cells

    def _round(self, row: RoundItem, shown: WeekShown) -> list[QStandardItem]:
        length = f", {minutes(shown.speech, row.minutes)}" if row.minutes else ""
        tub = f" · {row.tub_name}" if shown.week.tubs > 1 else ""
        title = f"{row.name}{tub} ({len(row.items)} tasks{length})"
        worst = max(row.items, key=lambda i: i.today.toordinal() - i.occurrence.due_on.toordinal())
        mark = MARKS[worst.occurrence.status.value]
        head = _cell(title, row)
        cost = sum(item.expected_minor or 0 for item in row.items)
        due = relative_day(shown.speech, worst.occurrence.due_on, worst.today)
        cells = [
            head,
            _cell(mark.word, row),
            _cell(due, row),
            _cell("one tick for the whole round", row),
            _cell(money(shown.speech, cost) if cost else "", row),
            _cell("", row),
        ]
        cells[Column.STATE].setIcon(self._icons.icon(mark.icon, mark.colour))
        spoken = f"{title}, {mark.word}, {due}"
        head.setData(spoken, Qt.ItemDataRole.AccessibleTextRole)
        _to_the_right(cells[Column.COST])
        for item in row.items:
            head.appendRow(self._task(item, shown))
        return cells


def _cell(text: str, row: Row) -> QStandardItem:
    cell = QStandardItem(text)
    cell.setEditable(False)
    cell.setData(row, ROW_ROLE)
    return cell


def _to_the_right(cell: QStandardItem) -> None:
    cell.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
