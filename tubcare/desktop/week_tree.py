"""The list of This week: one click or Space ticks off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QSize, Qt, Signal, Slot
from PySide6.QtWidgets import (
    QHeaderView,
    QPushButton,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeView,
)
from typing_extensions import override

from tubcare.desktop.week_model import ROW_ROLE, Column, Row, WeekModel
from tubcare.services.week import DueItem

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent, QResizeEvent

    from tubcare.desktop.screen import Context


ROOM = 20
ROOMY_LETTERS = 90
COLUMN_ROOM = 12
LEAST_TASK_PX = 240
TASK_SHARE = 0.33
"""Of the width; more of it goes to the reasons, which are longer than the names."""
MEASURED_ROWS = 50
"""How many rows beyond those in sight decide how wide a column is."""


class TickButton(QPushButton):
    """Ticks off one row; keyboards use Space on the row instead."""

    pressed_for = Signal(object)
    """Carries the `Row`."""

    def __init__(self, row: Row, context: Context) -> None:
        super().__init__(context.say("Tick off"))
        self._row = row
        name = row.title if isinstance(row, DueItem) else row.name
        self.setAccessibleName(context.say("Tick off {what}", what=name))
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.clicked.connect(self._press)

    @Slot()
    def _press(self) -> None:
        self.pressed_for.emit(self._row)


class RoomyRows(QStyledItemDelegate):
    """Gives each row room for its button, at any text size."""

    @override
    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the text's size, at least as high as a button."""
        wanted = super().sizeHint(option, index)
        return QSize(wanted.width(), max(wanted.height(), option.fontMetrics.height() + ROOM))


class WeekTree(QTreeView):
    """Shows the week; Space ticks off the current row, Enter shows it whole."""

    tick_wanted = Signal(object)
    """Carries the `Row`."""
    details_wanted = Signal(object)
    """Carries the `Row`."""

    def __init__(self, model: WeekModel, context: Context) -> None:
        super().__init__()
        self._model = model
        self._context = context
        self._task_px = 0
        self.setModel(model)
        self.setAccessibleName(context.say("Due this week"))
        self.setAlternatingRowColors(False)
        self.setRootIsDecorated(True)
        self.setAllColumnsShowFocus(True)
        self.setUniformRowHeights(True)
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QTreeView.EditTrigger.NoEditTriggers)
        self.setIndentation(18)
        self.setItemDelegate(RoomyRows(self))
        header = self.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setSectionResizeMode(Column.WHY, QHeaderView.ResizeMode.Stretch)
        header.setResizeContentsPrecision(MEASURED_ROWS)
        self.doubleClicked.connect(self._double_clicked)
        self.verticalScrollBar().valueChanged.connect(self._give_buttons)
        self.expanded.connect(self._give_buttons)
        self.collapsed.connect(self._give_buttons)

    def show_all(self) -> None:
        """Open the groups, keep rounds closed, give the rows their buttons, fit the columns."""
        for at in range(self._model.rowCount()):
            self.setFirstColumnSpanned(at, QModelIndex(), True)  # noqa: FBT003  Qt's own form
            self.expand(self._model.index(at, 0))
        self._give_buttons()
        for column in (Column.TASK, Column.STATE, Column.DUE, Column.COST, Column.TICK):
            self.resizeColumnToContents(column)
        for column in (Column.STATE, Column.DUE):
            self.setColumnWidth(column, self.columnWidth(column) + COLUMN_ROOM)
        self._task_px = self.columnWidth(Column.TASK)
        self._give_columns()

    def _give_columns(self) -> None:
        """Leave out what there is no room for; the reason is told by the task itself too."""
        room = self.viewport().width()
        narrow = room < ROOMY_LETTERS * self.fontMetrics().averageCharWidth()
        self.setColumnHidden(Column.WHY, narrow)
        self.setColumnHidden(Column.COST, narrow or not self._model.has_costs)
        if narrow:
            taken = sum(map(self.columnWidth, (Column.STATE, Column.DUE, Column.TICK)))
            self.setColumnWidth(Column.TASK, max(LEAST_TASK_PX, room - taken))
        else:
            widest = max(LEAST_TASK_PX, round(room * TASK_SHARE))
            self.setColumnWidth(Column.TASK, min(self._task_px, widest))

    @Slot()
    def _give_buttons(self) -> None:
        """Give the rows in sight their buttons; the others get theirs when they come into it."""
        index, bottom = self.indexAt(QPoint(0, 0)), self.viewport().height()
        while index.isValid() and self.visualRect(index).top() <= bottom:
            group = index.parent()
            if group.isValid() and not group.parent().isValid():
                self._put_button(group, index.row())
            index = self.indexBelow(index)

    def _put_button(self, group: QModelIndex, below: int) -> None:
        place = self._model.index(below, Column.TICK, group)
        if self.indexWidget(place) is not None:
            return
        button = TickButton(place.siblingAtColumn(Column.TASK).data(ROW_ROLE), self._context)
        self._context.icons.put_on(button, "tick")
        button.pressed_for.connect(self.tick_wanted)
        self.setIndexWidget(place, button)

    def row(self) -> Row | None:
        """Return the task or round of the current row."""
        found = self.currentIndex().siblingAtColumn(0).data(ROW_ROLE)
        return found if found is not None else None

    def select_first(self) -> None:
        """Make the first task the current row."""
        first = self._model.first_task()
        if first is not None:
            self.setCurrentIndex(first.index())

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Tick off with Space, show the task whole with Enter; else as in any list."""
        row = self.row()
        if row is not None and event.key() == Qt.Key.Key_Space:
            self.tick_wanted.emit(row)
        elif row is not None and event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.details_wanted.emit(row)
        else:
            super().keyPressEvent(event)

    @override
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room anew."""
        super().resizeEvent(event)
        self._give_columns()
        self._give_buttons()

    @override
    def keyboardSearch(self, search: str) -> None:
        """Find by title, wherever the mouse clicked last."""
        index = self.currentIndex()
        if index.isValid() and index.column() != Column.TASK:
            self.setCurrentIndex(index.siblingAtColumn(Column.TASK))
        super().keyboardSearch(search)

    @Slot(QModelIndex)
    def _double_clicked(self, index: QModelIndex) -> None:
        row = index.siblingAtColumn(0).data(ROW_ROLE)
        if row is not None:
            self.details_wanted.emit(row)
