"""The catch-up grid as a view: arrows go about, typing fills in, Enter goes down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)
from typing_extensions import override

from tubcare.desktop.catch_up_cells import DONE
from tubcare.services.catch_up import SheetKind

if TYPE_CHECKING:
    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QKeyEvent, QResizeEvent

    from tubcare.desktop.catch_up_model import CatchUpModel
    from tubcare.desktop.screen import Context

_Key = Qt.Key
DAY_LETTERS = 11
NAME_LETTERS = 18
_Hint = QAbstractItemDelegate.EndEditHint


class FieldDelegate(QStyledItemDelegate):
    """Gives each field that is typed into its name."""

    @override
    def createEditor(
        self,
        parent: QWidget,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> QWidget:
        """Return a line to type in."""
        editor = super().createEditor(parent, option, index)
        editor.setAccessibleName(str(index.data(Qt.ItemDataRole.AccessibleTextRole)))
        return editor


class CatchUpTable(QTableView):
    """Shows the grid; what is wrong with the current field is told by the screen."""

    field_chosen = Signal(object)
    """Carries the `QModelIndex` that the keyboard is on."""

    def __init__(self, model: CatchUpModel, context: Context) -> None:
        super().__init__()
        self._model = model
        self.setModel(model)
        self.setItemDelegate(FieldDelegate(self))
        self.setAccessibleName(context.say("Days to catch up with"))
        self.setTabKeyNavigation(False)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
        )
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setWordWrap(False)
        self.setCornerButtonEnabled(False)
        self.verticalHeader().hide()
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setSectionsClickable(False)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        model.modelReset.connect(self._lay_out)
        model.dataChanged.connect(self._fit_rows)

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Tick off with Space or x, clear with Delete; numbers are typed as in any field."""
        index = self.currentIndex()
        row = self._model.row_at(index)
        key = _Key(event.key())
        is_task = row is not None and row.key.kind is SheetKind.TASK
        editable = bool(self._model.flags(index) & Qt.ItemFlag.ItemIsEditable)
        if key in {_Key.Key_Delete, _Key.Key_Backspace}:
            if editable:
                self._model.setData(index, "")
        elif is_task and editable and (key == _Key.Key_Space or event.text().casefold() == DONE):
            typed = str(index.data(Qt.ItemDataRole.EditRole))
            self._model.setData(index, "" if typed and key == _Key.Key_Space else DONE)
        elif is_task and editable and event.text() in {"!", "+"}:
            self._model.setData(index, DONE + event.text())
        elif key == _Key.Key_Space:
            return
        elif key in {_Key.Key_Return, _Key.Key_Enter}:
            # The field that is typed into lets Enter through before it is closed.
            if not self._is_typing():
                self._down()
        else:
            super().keyPressEvent(event)

    @override
    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Go to the field below after Enter."""
        # Qt calls twice for one Enter: from the line's own signal and from the delegate.
        was_open = self._is_typing()
        super().closeEditor(editor, hint)
        if was_open and hint is _Hint.SubmitModelCache:
            self._down()

    @override
    def currentChanged(
        self,
        current: QModelIndex | QPersistentModelIndex,
        previous: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Tell which field the keyboard is on."""
        super().currentChanged(current, previous)
        self.field_chosen.emit(current)

    @override
    def changeEvent(self, event: QEvent) -> None:
        """Follow a new text size."""
        super().changeEvent(event)
        if event.type() in {event.Type.FontChange, event.Type.StyleChange}:
            self._lay_out()

    def _is_typing(self) -> bool:
        return self.state() is QAbstractItemView.State.EditingState

    def _down(self) -> None:
        action = QAbstractItemView.CursorAction.MoveDown
        below = self.moveCursor(action, Qt.KeyboardModifier.NoModifier)
        if below.isValid():
            self.setCurrentIndex(below)

    @override
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the names the room that the days leave."""
        super().resizeEvent(event)
        self._fit_columns()

    def _lay_out(self) -> None:
        self.clearSpans()
        for row in self._model.headings():
            self.setSpan(row, 0, 1, self._model.columnCount())
        self._fit_columns()
        self._fit_rows()

    def _fit_columns(self) -> None:
        days = self._model.columnCount() - 1
        letters = self.fontMetrics().averageCharWidth()
        wide = letters * DAY_LETTERS + 14
        for column in range(1, days + 1):
            self.setColumnWidth(column, wide)
        if days > 0:
            rest = self.viewport().width() - days * wide
            self.setColumnWidth(0, max(letters * NAME_LETTERS, rest))

    def _fit_rows(self) -> None:
        one = max(34, self.fontMetrics().lineSpacing() + 16)
        two = self.fontMetrics().lineSpacing() * 2 + 10
        faulty = {self._model.index_of(key).row() for key in self._model.typed.faults}
        self.verticalHeader().setDefaultSectionSize(one)
        for row in range(self._model.rowCount()):
            wanted = two if row in faulty else one
            if self.rowHeight(row) != wanted:
                self.setRowHeight(row, wanted)
