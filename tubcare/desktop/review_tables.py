"""The tables of the year review on the screen; their columns follow the months of the period."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.table import Column, RowsModel, Table

if TYPE_CHECKING:
    from tubcare.desktop.plain_table import PlainTable
    from tubcare.desktop.screen import Context

Index = QModelIndex | QPersistentModelIndex
PlainRow = tuple[str, ...]
_MOST_TO_STRETCH = 8
_MOST_NAME_LETTERS = 44
_CELL_PADDING = 26


class TablePage(QWidget):
    """Holds one table, made anew when its columns change."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.shown: PlainTable | None = None
        self.table: Table[PlainRow] | None = None
        self._model: _PlainModel | None = None
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 8, 0, 0)

    def show_table(self, plain: PlainTable) -> None:
        """Show a table in place of what was shown."""
        if self.shown is None or self.shown.heads != plain.heads:
            self._make(plain)
            self.shown = None
        first = self.shown is None
        self.shown = plain
        if self.table is None or self._model is None:
            return
        self.table.setAccessibleName(plain.title)
        self._model.has_sum = plain.has_sum
        self._model.set_rows(plain.rows)
        if first and len(plain.heads) > _MOST_TO_STRETCH:
            self._give_room(self.table, plain)

    def _make(self, plain: PlainTable) -> None:
        if self.table is not None:
            self._rows.removeWidget(self.table)
            self.table.hide()
            self.table.deleteLater()
        columns = [
            Column[PlainRow](
                key=str(place),
                title=title,
                text=_Cell(place),
                numeric=place > 0,
                stretch=place == 0 and len(plain.heads) <= _MOST_TO_STRETCH,
            )
            for place, title in enumerate(plain.heads)
        ]
        model = self._model = _PlainModel(columns, self._context.icons)
        # Columns of one count keep their widths, whatever the months are called.
        key = f"review-{plain.key}-{len(columns)}"
        self.table = Table(plain.title, key, model, self._context.keeping)
        model.setParent(self.table)
        self._rows.addWidget(self.table)

    @staticmethod
    def _give_room(table: Table[PlainRow], plain: PlainTable) -> None:
        """Fit the columns to what stands in them, the first one up to a limit."""
        letters = table.fontMetrics()
        most = _MOST_NAME_LETTERS * letters.averageCharWidth()
        for column, head in enumerate(plain.heads):
            texts = (head, *(row[column] for row in plain.rows))
            widest = max(letters.horizontalAdvance(text) for text in texts)
            table.setColumnWidth(column, min(most, widest) + _CELL_PADDING)


class _PlainModel(RowsModel[PlainRow]):
    """Rows of texts, of which the last one may be their sum."""

    has_sum = False

    @override
    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return what `role` shows in the cell; a sum stands out by its weight."""
        is_sum = self.has_sum and index.row() == len(self.rows) - 1
        if role == Qt.ItemDataRole.FontRole and index.isValid() and is_sum:
            font = QFont()
            font.setBold(True)
            return font
        return super().data(index, role)


@dataclass(frozen=True, slots=True)
class _Cell:
    place: int

    def __call__(self, row: PlainRow) -> str:
        return row[self.place]
