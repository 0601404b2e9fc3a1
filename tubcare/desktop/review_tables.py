"""The tables of the year review on the screen; their columns follow the months of the period."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from tubcare.desktop.table import Column, RowsModel, Table

if TYPE_CHECKING:
    from tubcare.desktop.review_content import PlainTable
    from tubcare.desktop.screen import Context

PlainRow = tuple[str, ...]


class TablePage(QWidget):
    """Holds one table, made anew when its columns change."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self.shown: PlainTable | None = None
        self.table: Table[PlainRow] | None = None
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(0, 8, 0, 0)

    def show_table(self, plain: PlainTable) -> None:
        """Show a table in place of what was shown."""
        if self.shown is None or self.shown.heads != plain.heads:
            self._make(plain)
        self.shown = plain
        if self.table is not None:
            self.table.setAccessibleName(plain.title)
            self.table.rows_model.set_rows(plain.rows)

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
        model = RowsModel(columns, self._context.icons)
        # Columns of one count keep their widths, whatever the months are called.
        key = f"review-{plain.key}-{len(columns)}"
        self.table = Table(plain.title, key, model, self._context.keeping)
        model.setParent(self.table)
        if len(plain.heads) > _MOST_TO_STRETCH:
            self._give_room(self.table, len(plain.heads))
        self._rows.addWidget(self.table)

    @staticmethod
    def _give_room(table: Table[PlainRow], columns: int) -> None:
        letter = table.fontMetrics().averageCharWidth()
        table.setColumnWidth(0, _NAME_LETTERS * letter)
        for column in range(1, columns):
            table.setColumnWidth(column, _FIGURE_LETTERS * letter)


_MOST_TO_STRETCH = 8
_NAME_LETTERS = 26
_FIGURE_LETTERS = 11


@dataclass(frozen=True, slots=True)
class _Cell:
    place: int

    def __call__(self, row: PlainRow) -> str:
        return row[self.place]
