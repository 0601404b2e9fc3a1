"""The two views of the calendar on one page: the month with its day beside it, and the agenda."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, Qt, Signal, Slot
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from tubcare.desktop.buttons import ActionButton, first_stop
from tubcare.desktop.calendar_agenda import Agenda, AgendaRow
from tubcare.desktop.calendar_day import DayPanel
from tubcare.desktop.calendar_legend import Legend
from tubcare.desktop.calendar_model import MonthModel, MonthShown
from tubcare.desktop.calendar_month import MonthView
from tubcare.desktop.calendar_words import late_before
from tubcare.desktop.theme import worded
from tubcare.words.dates import month_and_year

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.services.calendar import Line
    from tubcare.values import TubId

_VIEW = "calendar/view"
ARROWS = ("back", "forward")


class CalendarViews(QWidget):
    """Shows a month handed to it, and knows the chosen day and line."""

    day_wanted = Signal(object)
    """Carries the date that the person went to."""
    tub_wanted = Signal(object)
    """Carries the `TubId` to show alone, None for all."""
    act_wanted = Signal(object)
    """Carries "tick" or "open": what the person wants done with the chosen line."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._last_stop = first_stop(self)
        self._shown: MonthShown | None = None
        self._tub: TubId | None = None
        self.on = date.min
        self.model = MonthModel()
        self.month = MonthView(self.model, context)
        self.panel = DayPanel(context)
        self.agenda = Agenda(context)
        self.heading = worded(QLabel(), "group")
        self.before = worded(QLabel(), "strong")
        self.before.setWordWrap(True)
        self.before.setTextFormat(Qt.TextFormat.PlainText)
        self.before.hide()
        self.tubs = QComboBox()
        self.tubs.setAccessibleName(context.say("Tub"))
        self.tubs.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.tabs = QTabWidget()
        self.tabs.setAccessibleName(context.say("Views of the calendar"))
        self.tabs.setDocumentMode(True)
        self.tabs.addTab(self._month_page(), context.say("Month"))
        self.tabs.addTab(self.agenda, context.say("Agenda"))
        self.tabs.setCurrentIndex(context.keeping.number(_VIEW, 0))
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        self._bar = QHBoxLayout()
        self._bar.setSpacing(8)
        rows.addLayout(self._bar)
        rows.addWidget(self.before)
        rows.addWidget(self.tabs, 1)
        rows.addWidget(Legend(context))
        self._connect()

    @property
    def line(self) -> Line | None:
        """Return the chosen line."""
        if self.shows_agenda:
            row = self.agenda.current_row
            return None if row is None else row.line
        return self.panel.table.current_row

    @property
    def shows_agenda(self) -> bool:
        """Return whether the agenda is shown, not the month."""
        return self.tabs.currentIndex() == 1

    def fill_bar(self, actions: Sequence[QAction]) -> None:
        """Put the ways to go about above the views: back, on, and what else there is."""
        row = self._bar
        # The arrows of the month are icons, so that the bar stays narrow with large text.
        for action, icon in zip(actions, ARROWS, strict=False):
            arrow = QPushButton()
            self._context.icons.put_on(arrow, icon)
            arrow.setAccessibleName(action.text().replace("&", ""))
            arrow.setToolTip(f"{arrow.accessibleName()} ({action.shortcut().toString()})")
            arrow.clicked.connect(action.trigger)
            self._add_stop(arrow)
        for action in actions[len(ARROWS) :]:
            self._add_stop(ActionButton(action))
        row.addSpacing(8)
        row.addWidget(self.heading)
        row.addStretch()
        row.addWidget(self.tubs)

    def _add_stop(self, button: QPushButton) -> None:
        self._bar.addWidget(button)
        self.setTabOrder(self._last_stop, button)
        self._last_stop = button

    @Slot()
    def switch(self) -> None:
        """Show the other view."""
        self.tabs.setCurrentIndex(0 if self.shows_agenda else 1)
        self.take_focus()

    def step(self, places: int) -> None:
        """Choose another line: of the day, or of the agenda."""
        table = self.agenda if self.shows_agenda else self.panel.table
        at = table.currentIndex().row() + places
        if 0 <= at < table.rows_model.rowCount():
            table.setCurrentIndex(table.rows_model.index(at, 0))

    def take_focus(self) -> None:
        """Give the keyboard to the shown view."""
        (self.agenda if self.shows_agenda else self.month).setFocus()

    def show_month(self, shown: MonthShown, on: date) -> None:
        """Show a month in place of what was shown, with a day of it chosen."""
        self._shown = shown
        self.heading.setText(month_and_year(shown.speech, shown.month))
        told = late_before(shown.speech, shown.calendar)
        self.before.setText(told)
        self.before.setVisible(bool(told))
        self._show_tubs(shown)
        self.model.show_month(shown)
        with QSignalBlocker(self.agenda):
            self.agenda.show_month(shown)
        self.choose_day(on)

    def choose_day(self, on: date) -> bool:
        """Choose a day; return whether its month is the one that is shown."""
        self.on = on
        shown = self._shown
        day = None if shown is None else shown.calendar.day(on)
        if shown is None or day is None:
            self.month.choose(on, None)
            return False
        self.panel.show_day(day, shown)
        row = self.agenda.current_row
        if row is None or row.on != on:
            with QSignalBlocker(self.agenda):
                self.agenda.choose_day(on)
        return on.month == shown.month.month or not self.shows_agenda

    def choose_tub(self, tub: TubId | None) -> None:
        """Show in the list which tub is shown alone."""
        self._tub = tub
        self.tubs.setCurrentIndex(max(0, self.tubs.findData(tub)))

    def _connect(self) -> None:
        self.month.day_wanted.connect(self.day_wanted)
        self.month.line_chosen.connect(self._choose_place)
        self.month.tick_wanted.connect(self._tick)
        self.month.open_wanted.connect(self._open)
        self.month.all_wanted.connect(self._to_panel)
        self.panel.line_chosen.connect(self._mark)
        self.tubs.activated.connect(self._choose_tub)
        self.tabs.currentChanged.connect(self._switched)
        self.agenda.row_chosen.connect(self._follow_agenda)
        for table in (self.panel.table, self.agenda):
            table.space_pressed.connect(self._tick)
            table.row_opened.connect(self._open)

    def _month_page(self) -> QWidget:
        page = QWidget()
        row = QHBoxLayout(page)
        row.setContentsMargins(0, 8, 2, 2)
        row.setSpacing(12)
        row.addWidget(self.month, 3)
        row.addWidget(self.panel, 1)
        return page

    def _show_tubs(self, shown: MonthShown) -> None:
        tubs = shown.calendar.tubs
        self.tubs.clear()
        self.tubs.addItem(self._context.say("All tubs"), None)
        for tub, name in tubs:
            self.tubs.addItem(name, tub)
        self.choose_tub(self._tub)
        self.tubs.setVisible(len(tubs) > 1)

    @Slot(object)
    def _mark(self, _line: Line | None) -> None:
        at = self.panel.table.currentIndex()
        self.month.choose(self.on, at.row() if at.isValid() else None)

    @Slot(object)
    def _choose_place(self, place: int) -> None:
        table = self.panel.table
        table.setCurrentIndex(table.rows_model.index(place, 0))

    @Slot(object)
    def _to_panel(self, _nothing: object) -> None:
        self.panel.table.setFocus()

    @Slot(object)
    def _tick(self, _what: object) -> None:
        self.act_wanted.emit("tick")

    @Slot(object)
    def _open(self, _what: object) -> None:
        self.act_wanted.emit("open")

    @Slot(int)
    def _choose_tub(self, _index: int) -> None:
        self.tub_wanted.emit(self.tubs.currentData())

    @Slot(int)
    def _switched(self, index: int) -> None:
        self._context.keeping.keep(_VIEW, index)
        self.choose_day(self.on)

    @Slot(object)
    def _follow_agenda(self, row: AgendaRow | None) -> None:
        if row is not None and self.shows_agenda:
            self.on = row.on
