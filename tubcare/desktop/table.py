"""Tables: a model for rows of plain values, and a view that works by keyboard alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Generic, TypeVar

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView
from typing_extensions import override

from tubcare.words.escape import as_markup

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Sequence

    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QHideEvent, QKeyEvent

    from tubcare.desktop.icons import Icons
    from tubcare.desktop.keeping import Keeping
    from tubcare.desktop.marks import Mark

R = TypeVar("R")
Index = QModelIndex | QPersistentModelIndex
_ROOT = QModelIndex()
_Role = Qt.ItemDataRole
ROW_ROLE = _Role.UserRole
_MEASURED_ROWS = 50
_MOST_LETTERS = 30
_COLUMN_ROOM = 14
# A tip reads markup where it sees any; what people wrote is shown as they wrote it.
_TOLD: Final[dict[int, str]] = {
    _Role.DisplayRole: "{text}",
    _Role.ToolTipRole: "<p>{text}</p>",
    _Role.AccessibleTextRole: "{title}: {text}",
}


# No slots: Python 3.11 cannot make a slotted frozen class by way of Column[Row](…).
@dataclass(frozen=True, kw_only=True)
class Column(Generic[R]):
    """One column: how a row's value is told, and in which order rows come when it is clicked."""

    key: str
    title: str
    text: Callable[[R], str]
    numeric: bool = False
    mark: Callable[[R], Mark | None] | None = None
    sort: Callable[[R], object] | None = None
    """A value that can be compared; without one the column cannot be sorted by."""
    stretch: bool = False
    """Whether the column takes the room that is left."""


def _alignment(column: Column[R]) -> int:
    side = Qt.AlignmentFlag.AlignRight if column.numeric else Qt.AlignmentFlag.AlignLeft
    return int(side | Qt.AlignmentFlag.AlignVCenter)


class RowsModel(QAbstractTableModel, Generic[R]):
    """Shows rows that are handed to it; it reads nothing by itself."""

    def __init__(
        self,
        columns: Sequence[Column[R]],
        icons: Icons,
        *,
        identity: Callable[[R], Hashable] | None = None,
    ) -> None:
        super().__init__()
        self.columns = tuple(columns)
        self.rows: tuple[R, ...] = ()
        self._icons = icons
        self._identity = identity
        self._order: tuple[int, Qt.SortOrder] | None = None

    def set_rows(self, rows: Sequence[R]) -> None:
        """Show `rows` in place of what was shown, in the order that was chosen."""
        self.beginResetModel()
        self.rows = self._sorted(rows)
        self.endResetModel()

    def identity_of(self, row: int) -> Hashable:
        """Return what makes a row the same row after a refresh."""
        return row if self._identity is None else self._identity(self.rows[row])

    def row_of(self, identity: Hashable) -> int:
        """Return the place of a row, -1 when it is gone."""
        found = (row for row in range(len(self.rows)) if self.identity_of(row) == identity)
        return next(found, -1)

    @override
    def rowCount(self, parent: Index = _ROOT) -> int:
        """Return the number of rows; a row has no children."""
        return 0 if parent.isValid() else len(self.rows)

    @override
    def columnCount(self, parent: Index = _ROOT) -> int:
        """Return the number of columns."""
        return 0 if parent.isValid() else len(self.columns)

    @override
    def data(self, index: Index, role: int = _Role.DisplayRole) -> object:
        """Return what `role` shows in the cell; screen readers get the column's title too."""
        if not index.isValid():
            return None
        row = self.rows[index.row()]
        column = self.columns[index.column()]
        return self._told(row, column, role)

    @override
    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = _Role.DisplayRole
    ) -> object:
        """Return the titles of the columns."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        column = self.columns[section]
        if role == _Role.TextAlignmentRole:
            return _alignment(column)
        return column.title if role == _Role.DisplayRole else None

    @override
    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Order the rows by a column that can be compared."""
        if not 0 <= column < len(self.columns) or self.columns[column].sort is None:
            return
        self._order = (column, order)
        self.layoutAboutToBeChanged.emit()
        before = self.persistentIndexList()
        kept = [(self.identity_of(index.row()), index.column()) for index in before]
        self.rows = self._sorted(self.rows)
        after = [self.index(self.row_of(identity), place) for identity, place in kept]
        self.changePersistentIndexList(before, after)
        self.layoutChanged.emit()

    def _told(self, row: R, column: Column[R], role: int) -> object:
        if role in _TOLD:
            text = column.text(row)
            shown = as_markup(text) if role == _Role.ToolTipRole else text
            return _TOLD[role].format(title=column.title, text=shown)
        if role == _Role.DecorationRole and column.mark is not None:
            mark = column.mark(row)
            return None if mark is None else self._icons.icon(mark.icon, mark.colour)
        if role == _Role.TextAlignmentRole:
            return _alignment(column)
        return row if role == ROW_ROLE else None

    def _sorted(self, rows: Sequence[R]) -> tuple[R, ...]:
        if self._order is None:
            return tuple(rows)
        column, order = self._order
        key = self.columns[column].sort
        backwards = order is Qt.SortOrder.DescendingOrder
        return tuple(sorted(rows, key=key, reverse=backwards))  # type: ignore[arg-type, type-var]


class Table(QTableView, Generic[R]):
    """A table of whole rows: arrows move, letters find, Space and Enter act, Tab leaves."""

    row_chosen = Signal(object)
    """Carries the row that is now current, None when there is none."""
    space_pressed = Signal(object)
    """Carries the row on which Space was pressed."""
    row_opened = Signal(object)
    """Carries the row on which Enter was pressed, or that was double-clicked."""

    def __init__(self, name: str, key: str, model: RowsModel[R], keeping: Keeping) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.rows_model = model
        self._state = f"columns/{key}"
        self._keeping = keeping
        self._arranged = self._fitting = self._fitted = False
        self.setModel(model)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        self.setCornerButtonEnabled(False)
        self.verticalHeader().hide()
        self._set_up_header()
        self._fit_rows()
        model.modelAboutToBeReset.connect(self._remember)
        model.modelReset.connect(self._bring_back)
        self._kept: Hashable = None
        self.doubleClicked.connect(self._open)

    @property
    def current_row(self) -> R | None:
        """Return the row that the keyboard is on."""
        index = self.currentIndex()
        return self.rows_model.rows[index.row()] if index.isValid() else None

    def choose(self, identity: Hashable) -> bool:
        """Make the row of that identity current; return whether it is there."""
        row = self.rows_model.row_of(identity)
        if row >= 0:
            self.setCurrentIndex(self.rows_model.index(row, 0))
        return row >= 0

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Act on the row with Space and Enter; all else as in any table."""
        row = self.current_row
        key = event.key()
        if row is not None and key == Qt.Key.Key_Space:
            self.space_pressed.emit(row)
        elif row is not None and key in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.row_opened.emit(row)
        else:
            super().keyPressEvent(event)

    @override
    def keyboardSearch(self, search: str) -> None:
        """Find by the first column, wherever the mouse clicked last."""
        index = self.currentIndex()
        if index.isValid() and index.column() != 0:
            self.setCurrentIndex(index.siblingAtColumn(0))
        super().keyboardSearch(search)

    @override
    def currentChanged(self, current: Index, previous: Index) -> None:
        """Tell which row is current."""
        super().currentChanged(current, previous)
        self.row_chosen.emit(self.current_row)

    @override
    def hideEvent(self, event: QHideEvent) -> None:
        """Keep the widths and the order of the columns, when a person chose them."""
        if self._arranged:
            self._keeping.keep(self._state, self.horizontalHeader().saveState())
        super().hideEvent(event)

    @override
    def changeEvent(self, event: QEvent) -> None:
        """Give rows the height that a new text size needs."""
        super().changeEvent(event)
        if event.type() in {event.Type.FontChange, event.Type.StyleChange}:
            self._fit_rows()

    def _set_up_header(self) -> None:
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setSectionsMovable(True)
        columns = self.rows_model.columns
        if any(column.sort is not None for column in columns):
            # In this order, else the table sorts by its first column at once.
            header.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
            self.setSortingEnabled(True)
        for place, column in enumerate(columns):
            if column.stretch:
                header.setSectionResizeMode(place, QHeaderView.ResizeMode.Stretch)
            else:
                letters = max(len(column.title) + 4, 12)
                self.setColumnWidth(place, letters * self.fontMetrics().averageCharWidth() + 28)
        header.setResizeContentsPrecision(_MEASURED_ROWS)
        kept = self._keeping.state(self._state)
        if not kept.isEmpty():
            self._arranged = header.restoreState(kept)
        header.sectionResized.connect(self._resized)
        header.sectionMoved.connect(self._arrange)
        header.sortIndicatorChanged.connect(self._arrange)

    @Slot(int, int, int)
    def _resized(self, place: int, _before: int, _now: int) -> None:
        if not self._fitting and not self.rows_model.columns[place].stretch:
            self._arranged = True

    @Slot()
    def _arrange(self) -> None:
        self._arranged = True

    def _fit_columns(self) -> None:
        """Give columns what their rows need, the rest to those that stretch; none shrinks."""
        if self._arranged or not self.rows_model.rows:
            return
        first, self._fitting = not self._fitted, True
        most = _MOST_LETTERS * self.fontMetrics().averageCharWidth()
        for place, column in enumerate(self.rows_model.columns):
            if not column.stretch:
                header = self.horizontalHeader().sectionSizeHint(place)
                wanted = max(header, min(most, self.sizeHintForColumn(place) + _COLUMN_ROOM))
                self.setColumnWidth(
                    place, wanted if first else max(wanted, self.columnWidth(place))
                )
        self._fitted, self._fitting = True, False

    def _fit_rows(self) -> None:
        height = max(30, self.fontMetrics().lineSpacing() + 14)
        self.verticalHeader().setMinimumSectionSize(24)
        self.verticalHeader().setDefaultSectionSize(height)

    def _remember(self) -> None:
        index = self.currentIndex()
        inside = index.isValid() and index.row() < len(self.rows_model.rows)
        self._kept = (self.rows_model.identity_of(index.row()), index.row()) if inside else None

    def _bring_back(self) -> None:
        self._fit_columns()
        count = len(self.rows_model.rows)
        if not isinstance(self._kept, tuple) or not count:
            return
        identity, place = self._kept
        row = self.rows_model.row_of(identity)
        # The row is gone: the one that moved up into its place is next.
        self.setCurrentIndex(self.rows_model.index(row if row >= 0 else min(place, count - 1), 0))

    def _open(self, index: QModelIndex) -> None:
        self.row_opened.emit(self.rows_model.rows[index.row()])
