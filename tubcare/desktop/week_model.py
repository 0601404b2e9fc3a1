"""The rows of This week: groups by day, tasks and rounds below them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QStandardItem, QStandardItemModel
from typing_extensions import override

from tubcare.desktop.marks import MARKS, state_word
from tubcare.services.week import DueItem, RoundItem, in_rounds
from tubcare.words.dates import minutes, relative_day, weekday_date
from tubcare.words.money import money
from tubcare.words.sentences.shelf import lacking
from tubcare.words.sentences.why import why

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from tubcare.care.terms import Status
    from tubcare.desktop.screen import Context
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


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekShown:
    """A week together with the words to show it in."""

    week: Week
    speech: Speech


class WeekModel(QStandardItemModel):
    """Shows a week handed to it; it reads no logbook."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._icons = context.icons
        self.has_costs = False
        """Whether any row has a usual cost to show."""
        say = context.say
        self.setHorizontalHeaderLabels(
            [say("Task"), say("State"), say("Due"), say("Why"), say("Usual cost"), ""]
        )

    def show_week(self, shown: WeekShown) -> None:
        """Show a week in place of what was shown."""
        self.setRowCount(0)
        week, speech = shown.week, shown.speech
        self.has_costs = any(item.expected_minor for item in _items(week))
        today = speech.say("Today, {day}", day=weekday_date(speech, week.today))
        self._group(speech.say("Late"), week.late, shown)
        self._group(today, week.due_today, shown)
        for each in week.together:
            self._group(speech.say("While {tub} is empty", tub=each.tub_name), each.items, shown)
        for day in week.days:
            self._group(weekday_date(speech, day.on), day.items, shown)
        self._group(speech.say("Later"), week.later, shown)

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
        state = state_word(speech, each.status)
        title = f"{item.title} · {item.tub_name}" if shown.week.tubs > 1 else item.title
        due = relative_day(speech, each.due_on, item.today)
        reason = partial(_reason, speech, item)
        when = speech.say("about {due}", due=due) if each.about else due
        cells = [
            _cell(title),
            _cell(state),
            _Told(lambda: when, partial(weekday_date, speech, each.due_on)),
            _Told(reason, partial(_tip, speech, item)),
            _cell(money(speech, item.expected_minor) if item.expected_minor else ""),
            _cell(""),
        ]
        self._show_state(cells[Column.STATE], each.status)
        cells[Column.TASK].setData(item, ROW_ROLE)
        spoken = ", ".join((title, state, due, *lacking(speech, item.lacks)))
        cells[Column.TASK].setData(spoken, Qt.ItemDataRole.AccessibleTextRole)
        _to_the_right(cells[Column.COST])
        return cells

    def _round(self, row: RoundItem, shown: WeekShown) -> list[QStandardItem]:
        speech = shown.speech
        length = f", {minutes(speech, row.minutes)}" if row.minutes else ""
        tub = f" · {row.tub_name}" if shown.week.tubs > 1 else ""
        count = speech.say_count("{n} task", "{n} tasks", len(row.items))
        title = f"{row.name}{tub} ({count}{length})"
        worst = max(row.items, key=lambda i: i.today.toordinal() - i.occurrence.due_on.toordinal())
        status = worst.occurrence.status
        state = state_word(speech, status)
        head = _cell(title)
        head.setData(row, ROW_ROLE)
        cost = sum(item.expected_minor or 0 for item in row.items)
        due = relative_day(speech, worst.occurrence.due_on, worst.today)
        lacks = lacking(speech, [note for item in row.items for note in item.lacks])
        cells = [
            head,
            _cell(state),
            _cell(due),
            _cell("; ".join((*lacks, speech.say("one tick for the whole round")))),
            _cell(money(speech, cost) if cost else ""),
            _cell(""),
        ]
        self._show_state(cells[Column.STATE], status)
        spoken = ", ".join((title, state, due, *lacks))
        head.setData(spoken, Qt.ItemDataRole.AccessibleTextRole)
        _to_the_right(cells[Column.COST])
        for item in row.items:
            head.appendRow(self._task(item, shown))
        return cells

    def _show_state(self, cell: QStandardItem, status: Status) -> None:
        mark = MARKS[status]
        cell.setIcon(self._icons.icon(mark.icon, mark.colour))


class _Told(QStandardItem):
    """A cell that is put into words when it is looked at; most of a long list never is."""

    def __init__(self, text: Callable[[], str], tip: Callable[[], str]) -> None:
        super().__init__()
        self._tell = {
            int(Qt.ItemDataRole.DisplayRole): text,
            int(Qt.ItemDataRole.ToolTipRole): tip,
        }
        self._told: dict[int, str] = {}
        self.setEditable(False)

    @override
    def data(self, role: int = ROW_ROLE) -> object:
        """Return what stands in the cell in a role."""
        tell = self._tell.get(role)
        if tell is None:
            return super().data(role)
        if role not in self._told:
            self._told[role] = tell()
        return self._told[role]


def _reason(speech: Speech, item: DueItem) -> str:
    return "; ".join((*lacking(speech, item.lacks), _why(speech, item)))


def _why(speech: Speech, item: DueItem) -> str:
    told = why(speech, item.occurrence, item.today)
    if not item.to_add:
        return told
    # Loaded when there is a dose to tell: its words bring the chemistry.
    from tubcare.words.sentences.water_plan import with_doses_text  # noqa: PLC0415  see above

    return with_doses_text(speech, told, item.to_add, item.cautions)


def _tip(speech: Speech, item: DueItem) -> str:
    """Return the reason whole, with every caution of a dose below it."""
    return "\n".join([_reason(speech, item), *map(speech.own, item.cautions)])


def _items(week: Week) -> Iterator[DueItem]:
    yield from (*week.late, *week.due_today, *week.later)
    for together in week.together:
        yield from together.items
    for day in week.days:
        yield from day.items


def _cell(text: str) -> QStandardItem:
    cell = QStandardItem(text)
    cell.setEditable(False)
    return cell


def _to_the_right(cell: QStandardItem) -> None:
    cell.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
