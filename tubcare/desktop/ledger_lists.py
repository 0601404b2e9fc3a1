"""The lists of the ledger: what was paid, what was used, or why there is nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QStackedWidget

from tubcare.desktop.ledger_columns import LedgerModel, UsedModel
from tubcare.desktop.screen import EmptyState
from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.table import Table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.services.entries import Entry
    from tubcare.services.used import UsedLine
    from tubcare.values import EntryId

_LEAST_COLUMN_LETTERS = 12


class LedgerLists(QStackedWidget):
    """Shows one of the two lists and tells what is chosen in it."""

    entry_chosen = Signal(object)
    """Carries the `EntryId` that is now chosen, None when none is."""
    use_chosen = Signal(object)
    """Carries the `UsedLine` of stock that left the shelf."""
    opened = Signal(object)
    """Carries nothing (None): Enter was pressed on an amount."""

    def __init__(self, context: Context, new_amount: QAction) -> None:
        super().__init__()
        say = context.say
        self.paid_model, self.used_model = LedgerModel(context), UsedModel(context)
        self.paid = Table(say("Amounts"), "ledger", self.paid_model, context.keeping)
        self.used = Table(say("What was used"), "ledger-used", self.used_model, context.keeping)
        empty = EmptyState(
            say("No amounts in this period"),
            say("Write one down above, or choose other days. Ticked tasks add theirs."),
            new_amount,
        )
        # What an amount was for stays readable where text is large and the window narrow.
        least = _LEAST_COLUMN_LETTERS * self.fontMetrics().averageCharWidth()
        for table in (self.paid, self.used):
            table.horizontalHeader().setMinimumSectionSize(least)
            table.row_chosen.connect(self._tell)
            table.row_opened.connect(self.opened)
            self.addWidget(table)
        # It scrolls, lest it keep the window wide where text is large.
        self._empty = scrolling(empty)
        self.addWidget(self._empty)

    def show_paid(self, rows: Sequence[Entry], wanted: EntryId | None) -> None:
        """Show what was paid, and choose the wanted amount, else what was chosen before."""
        self.paid_model.set_rows(rows)
        self.setCurrentWidget(self.paid if rows else self._empty)
        if wanted is not None:
            self.paid.choose(wanted)
        self._choose_something(self.paid)

    def show_used(self, rows: Sequence[UsedLine]) -> None:
        """Show what was used."""
        self.used_model.set_rows(rows)
        self.setCurrentWidget(self.used if rows else self._empty)
        self._choose_something(self.used)

    def take_focus(self) -> None:
        """Give the keyboard to the list that is shown."""
        shown = self.currentWidget()
        if shown is not None:
            shown.setFocus(Qt.FocusReason.OtherFocusReason)

    def _choose_something(self, table: Table[Entry] | Table[UsedLine]) -> None:
        if table.rows_model.rows and table.current_row is None:
            table.setCurrentIndex(table.rows_model.index(0, 0))
        self._tell()

    @Slot(object)
    def _tell(self, _row: object = None) -> None:
        if self.currentWidget() is self.paid:
            entry = self.paid.current_row
            self.entry_chosen.emit(None if entry is None else entry.id)
        elif self.currentWidget() is self.used:
            line = self.used.current_row
            if line is not None and line.entry is None:
                self.use_chosen.emit(line)
            else:
                self.entry_chosen.emit(None if line is None else line.entry)
        else:
            self.entry_chosen.emit(None)
