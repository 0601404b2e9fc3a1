"""The ledger: an amount is written down with a few keys, and shown with what it belongs to."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QFileDialog, QSplitter, QStackedWidget
from typing_extensions import override

from tubcare.desktop.ledger_columns import LedgerModel
from tubcare.desktop.ledger_filter import LedgerFilter
from tubcare.desktop.ledger_quick import QuickEntry
from tubcare.desktop.ledger_side import LedgerSide
from tubcare.desktop.ledger_work import LedgerShown, Written, read_for_showing, read_ledger
from tubcare.desktop.ledger_writer import LedgerWriter
from tubcare.desktop.screen import EmptyState, Screen
from tubcare.desktop.table import Table
from tubcare.exchange.files import write_table
from tubcare.exchange.ledger_csv import ledger_csv
from tubcare.services.entries import EntryDetail, entry_detail
from tubcare.services.topics import Topic
from tubcare.values import EntryId
from tubcare.words.money import money

if TYPE_CHECKING:
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.desktop.work import Ticket
    from tubcare.services.entries import Entry
    from tubcare.services.topics import Topics

_LEAST_COLUMN_LETTERS = 12


class LedgerScreen(Screen):
    """Lists the amounts of a period; the quick entry above the list is always at hand."""

    topics: ClassVar[Topics] = frozenset({Topic.MONEY, Topic.STOCK, Topic.TUBS, Topic.TASKS})

    def __init__(self, context: Context) -> None:
        super().__init__(context, context.say("Ledger"))
        self._shown: LedgerShown | None = None
        self._span: tuple[date, date] | None = None
        self._wanted: EntryId | None = None
        self.quick = QuickEntry(context)
        self.filter = LedgerFilter(context)
        self.model = LedgerModel(context)
        self.table = Table(context.say("Amounts"), "ledger", self.model, context.keeping)
        # What an amount was for stays readable where text is large and the window narrow.
        least = _LEAST_COLUMN_LETTERS * self.fontMetrics().averageCharWidth()
        self.table.horizontalHeader().setMinimumSectionSize(least)
        self.side = LedgerSide(context)
        self.writer = LedgerWriter(context, self.quick, self.side)
        self._add_actions()
        self._arrange()
        self.filter.span_chosen.connect(self._choose_span)
        self.filter.kind_chosen.connect(self._show_rows)
        self.table.row_chosen.connect(self._choose)
        self.table.row_opened.connect(self.writer.change)
        self.writer.written.connect(self._follow)
        self.side.left.connect(self._back_to_list)
        self.side.detail.task_wanted.connect(self._show_task)
        self.side.detail.entry_wanted.connect(self._show_other)

    @override
    def refresh(self) -> None:
        """Read the ledger anew; what is being typed stays."""
        self.context.work.on_logbook(
            partial(read_ledger, self.context.desk, span=self._span),
            done=self._show,
            title=self.context.say("Reading the ledger"),
            replaces="ledger",
        )

    @override
    def show_subject(self, subject: object) -> None:
        """Choose an amount that another screen sent the person here for, whatever its day."""
        if isinstance(subject, int):
            self._wanted = EntryId(subject)
            self.context.work.on_logbook(
                partial(read_for_showing, self.context.desk, entry=self._wanted, span=self._span),
                done=self._show,
                title=self.context.say("Reading the ledger"),
                replaces="ledger",
            )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the quick entry."""
        self.quick.what.setFocus(Qt.FocusReason.OtherFocusReason)

    def export_to(self, path: Path) -> None:
        """Write the listed amounts to a file, and say so."""
        text = ledger_csv(self.model.rows, self.context.speech.currency)
        self.context.work.elsewhere(
            partial(_write, path, text),
            done=self._say_exported,
            title=self.context.say("Writing the file"),
        )

    def _add_actions(self) -> None:
        say, add, writer = self.context.say, self.add_action, self.writer
        add(say("&New amount"), self.take_focus, icon="add", keys="Ctrl+N")
        add(say("&Buy for the shelf…"), writer.buy, icon="supplies", keys="Ctrl+B", button=True)
        add(say("Cost of the b&uild…"), writer.build)
        self._change_action = add(say("&Change…"), writer.change, icon="edit", keys="F2")
        self._refund_action = add(say("Re&fund…"), writer.refund, keys="Ctrl+R")
        self._end_action = add(say("End of u&se…"), writer.end)
        self._delete_action = add(say("De&lete"), self._delete, keys="Del")
        self.side.detail.add_buttons(
            (self._change_action, self._refund_action, self._delete_action)
        )
        add(say("Bud&gets…"), writer.budgets, button=True)
        add(say("&Prices…"), writer.prices, button=True)
        self._export_action = add(
            say("&Export as CSV…"), self._export, icon="export", keys="Ctrl+E", button=True
        )

    def _arrange(self) -> None:
        say = self.context.say
        empty = EmptyState(
            say("No amounts in this period"),
            say("Write one down above, or choose other days. Ticked tasks add theirs."),
        )
        self._pages = QStackedWidget()
        self._pages.addWidget(self.table)
        self._pages.addWidget(empty)
        splitter = QSplitter(Qt.Orientation.Horizontal)
        splitter.setChildrenCollapsible(False)
        splitter.addWidget(self._pages)
        splitter.addWidget(self.side)
        splitter.setStretchFactor(0, 5)
        splitter.setStretchFactor(1, 2)
        self.body.addWidget(self.quick)
        self.body.addWidget(self.filter)
        self.body.addWidget(splitter, 1)

    def _show(self, shown: LedgerShown) -> None:
        self._shown = shown
        self._span = (shown.first, shown.last)
        self.writer.choices = shown.choices
        self.quick.show_choices(shown.choices)
        self.filter.show_span(shown)
        self._show_rows()

    @Slot()
    def _show_rows(self) -> None:
        if self._shown is None:
            return
        wanted, self._wanted = self._wanted, None
        if wanted is not None:
            self.filter.show_all_kinds()
        kind = self.filter.shown_kind
        rows = [e for e in self._shown.entries if kind is None or e.category is kind]
        self.model.set_rows(rows)
        self._pages.setCurrentIndex(0 if rows else 1)
        total = money(self.context.speech, sum(entry.minor for entry in rows))
        self.say_below_title(self.context.say("Paid in this period: {amount}", amount=total))
        self._export_action.setEnabled(bool(rows))
        if wanted is not None:
            self.table.choose(wanted)
        elif rows and self.table.current_row is None:
            self.table.setCurrentIndex(self.model.index(0, 0))
        self._choose(self.table.current_row)

    @Slot(object)
    def _choose(self, entry: Entry | None) -> None:
        if entry is None:
            self._show_detail(None)
            return
        self.context.work.on_logbook(
            partial(entry_detail, self.context.desk, entry.id),
            done=self._show_detail,
            title=self.context.say("Reading an amount"),
            replaces="entry",
        )

    def _show_detail(self, detail: EntryDetail | None) -> None:
        self.writer.detail = detail
        self.side.detail.show_detail(detail)
        free = detail is not None and not detail.follows_from_a_measurement
        self._change_action.setEnabled(detail is not None)
        self._refund_action.setEnabled(detail is not None and detail.can_be_refunded)
        self._delete_action.setEnabled(free)
        in_use = detail is not None and detail.months is not None and detail.ended_on is None
        self._end_action.setEnabled(in_use)

    @Slot(object)
    def _choose_span(self, span: tuple[date, date]) -> None:
        if span != self._span:
            self._span = span
            self.refresh()

    @Slot(object)
    def _follow(self, written: Written) -> None:
        if written.detail is not None:
            self.show_subject(written.detail.entry.id)

    @Slot()
    def _back_to_list(self) -> None:
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot(object)
    def _show_task(self, task: object) -> None:
        self.context.go("tasks", task)

    @Slot(object)
    def _show_other(self, entry: object) -> None:
        self.show_subject(entry)

    @Slot()
    def _delete(self) -> None:
        entry = self.table.current_row
        if entry is not None:
            self.writer.delete(entry)

    @Slot()
    def _export(self) -> None:
        say = self.context.say
        chosen, _kind = QFileDialog.getSaveFileName(
            self, say("Export the ledger"), "tubcare.csv", "CSV (*.csv)"
        )
        if chosen:
            self.export_to(Path(chosen))

    def _say_exported(self, path: Path) -> None:
        self.context.strip.say(self.context.say("Written: {file}", file=str(path)))


def _write(path: Path, text: str, _ticket: Ticket) -> Path:
    return write_table(path, text)
