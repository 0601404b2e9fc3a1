"""The month as a grid of days: by keyboard, by mouse, and by dragging an entry to another day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QHeaderView,
    QStyleOptionViewItem,
    QTableView,
)
from typing_extensions import override

from tubcare.desktop.calendar_drawing import DayDelegate
from tubcare.services.calendar import EntryKind, Line

if TYPE_CHECKING:
    from PySide6.QtCore import QPoint, QRect
    from PySide6.QtGui import QKeyEvent, QMouseEvent

    from tubcare.desktop.calendar_cells import Cell
    from tubcare.desktop.calendar_model import MonthModel
    from tubcare.desktop.screen import Context
    from tubcare.services.calendar import Day

_Key = Qt.Key
_STEPS = {_Key.Key_Left: -1, _Key.Key_Right: 1, _Key.Key_Up: -7, _Key.Key_Down: 7}


class MonthView(QTableView):
    """Shows the weeks of a month. Keys as in a grid of dates of the WAI-ARIA practices (W3C)."""

    day_wanted = Signal(object)
    """Carries the date that the person went to; it may lie outside the month."""
    months_wanted = Signal(object)
    """Carries the number of months (int) to go on, negative for back."""
    line_chosen = Signal(object)
    """Carries the place (int) of the line that was pointed at, in the chosen day."""
    tick_wanted = Signal(object)
    """Carries nothing (None): Space."""
    open_wanted = Signal(object)
    """Carries nothing (None): Enter or a double click."""
    all_wanted = Signal(object)
    """Carries nothing (None): the person pointed at what had no room."""
    moved = Signal(object)
    """Carries the date that the chosen line was dragged to."""

    def __init__(self, model: MonthModel, context: Context) -> None:
        super().__init__()
        self._model = model
        self._drawing = DayDelegate(model, context.theme, context.icons, self)
        self._pressed: tuple[QPoint, Line] | None = None
        self._dragged: Line | None = None
        self.on = date.min
        """The chosen day."""
        self.setModel(model)
        self.setItemDelegate(self._drawing)
        self.setAccessibleName(context.say("Month"))
        self.setAccessibleDescription(
            context.say(
                "Arrow keys move by a day, page keys by a month; Space ticks off, Enter opens"
            )
        )
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setCornerButtonEnabled(False)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setSectionsClickable(False)
        self.horizontalHeader().setTextElideMode(Qt.TextElideMode.ElideRight)
        model.modelReset.connect(self._fit)
        context.theme.changed.connect(self._fit)

    def choose(self, on: date, place: int | None) -> None:
        """Make a day and one of its lines the chosen ones."""
        self.on = on
        self._drawing.chosen = (on, -1 if place is None else place)
        index = self._model.index_of(on)
        if index.isValid() and index != self.currentIndex():
            self.setCurrentIndex(index)
        self.viewport().update()

    def line_rect(self, on: date, place: int) -> QRect | None:
        """Return where a line of a day is drawn, None when it has no room."""
        day = self._model.day_at(self._model.index_of(on))
        cell = self._cell(day) if day is not None else None
        found = (p.rect for p in cell.lines if p.place == place) if cell is not None else iter(())
        return next(found, None)

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go about by days, weeks, months and years; act on the chosen line."""
        key = _Key(event.key())
        held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        plain = held == Qt.KeyboardModifier.NoModifier
        if key == _Key.Key_Escape and self._dragged is not None:
            self._end_drag()
        elif plain and key in _STEPS:
            self._go(_STEPS[key])
        elif plain and key in {_Key.Key_Home, _Key.Key_End}:
            at = self._model.index_of(self.on).column()
            self._go(-at if key == _Key.Key_Home else 6 - at)
        elif key in {_Key.Key_PageUp, _Key.Key_PageDown}:
            months = 12 if held == Qt.KeyboardModifier.ShiftModifier else 1
            self.months_wanted.emit(months if key == _Key.Key_PageDown else -months)
        elif plain and key == _Key.Key_Space:
            self.tick_wanted.emit(None)
        elif plain and key in {_Key.Key_Return, _Key.Key_Enter}:
            self.open_wanted.emit(None)
        else:
            event.ignore()

    @override
    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the day, and the line that was pointed at."""
        if event.button() is not Qt.MouseButton.LeftButton:
            return
        point = event.position().toPoint()
        day = self._model.day_at(self.indexAt(point))
        if day is None:
            return
        # Asked before the day is chosen: choosing may scroll its lines.
        cell = self._cell(day)
        line = cell.line_at(point)
        asks_all = bool(cell.hidden) and cell.more.contains(point)
        self.day_wanted.emit(day.on)
        if line is not None:
            self.line_chosen.emit(line.place)
            self._pressed = (point, line.line)
        elif asks_all:
            self.all_wanted.emit(None)

    @override
    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the line that was pressed on."""
        point = event.position().toPoint()
        if self._pressed is None:
            return
        start, line = self._pressed
        far = (point - start).manhattanLength() >= QApplication.startDragDistance()
        if self._dragged is None and far:
            self._dragged = line
            kind = self._dragged.kind
            shape = Qt.CursorShape
            fits = shape.ClosedHandCursor if kind is EntryKind.OPEN else shape.ForbiddenCursor
            self.viewport().setCursor(fits)
        if self._dragged is not None:
            day = self._model.day_at(self.indexAt(point))
            self._drawing.target = None if day is None else day.on
            self.viewport().update()

    @override
    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Move the dragged line to the day under the pointer."""
        target, dragged = self._drawing.target, self._dragged
        self._end_drag()
        if dragged is not None and target is not None and target != dragged.on:
            self.moved.emit(target)

    @override
    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Open the line that was pointed at."""
        day = self._model.day_at(self.indexAt(event.position().toPoint()))
        if day is not None and day.lines:
            self.open_wanted.emit(None)

    def _go(self, days: int) -> None:
        try:
            self.day_wanted.emit(self.on + timedelta(days=days))
        except OverflowError:
            return

    def _cell(self, day: Day) -> Cell:
        option = QStyleOptionViewItem()
        self.initViewItemOption(option)
        return self._drawing.cell(self.visualRect(self._model.index_of(day.on)), option, day)

    def _end_drag(self) -> None:
        self._pressed = self._dragged = None
        self._drawing.target = None
        self.viewport().unsetCursor()
        self.viewport().update()

    def _fit(self, _what: object = None) -> None:
        # Rows share the room there is, and keep enough for a line or two each.
        option = QStyleOptionViewItem()
        self.initViewItemOption(option)
        least = self._drawing.sizeHint(option, QModelIndex()).height()
        self.verticalHeader().setMinimumSectionSize(least * 2 // 3)
        index = self._model.index_of(self.on)
        if index.isValid():
            self.setCurrentIndex(index)
