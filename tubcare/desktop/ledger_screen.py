"""The ledger: an amount is written down with a few keys, and shown with what it belongs to."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QFileDialog
from typing_extensions import override

from tubcare.desktop.ledger_filter import LedgerFilter
from tubcare.desktop.ledger_lists import LedgerLists
from tubcare.desktop.ledger_quick import QuickEntry
from tubcare.desktop.ledger_side import LedgerSide
from tubcare.desktop.ledger_work import LedgerShown, Written, read_for_showing, read_ledger
from tubcare.desktop.ledger_writer import LedgerWriter
from tubcare.desktop.parting import beside
from tubcare.desktop.screen import Screen
from tubcare.exchange.files import write_table
from tubcare.exchange.ledger_csv import ledger_csv, used_csv
from tubcare.ledger.contributions import View
from tubcare.services.entries import EntryDetail, entry_detail
from tubcare.services.topics import Topic
from tubcare.values import EntryId
from tubcare.words.money import money

if TYPE_CHECKING:
    from datetime import date

    from tubcare.desktop.screen import Context
    from tubcare.desktop.work import Ticket
    from tubcare.services.topics import Topics
    from tubcare.services.used import UsedLine


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
        new_amount = self.add_action(
            context.say("&New amount"), self.take_focus, icon="add", keys="Ctrl+N"
        )
        self.lists = LedgerLists(context, new_amount)
        self.side = LedgerSide(context)
        self.writer = LedgerWriter(context, self.quick, self.side)
        self._add_actions()
        self._arrange()
        self.filter.span_chosen.connect(self._choose_span)
        self.filter.kind_chosen.connect(self._show_rows)
        self.filter.view_chosen.connect(self._choose_view)
        self.lists.entry_chosen.connect(self._choose)
        self.lists.use_chosen.connect(self._choose_use)
        self.lists.opened.connect(self.writer.change)
        self.writer.written.connect(self._follow)
        self.side.left.connect(self._back_to_list)
        self.side.detail.task_wanted.connect(self._show_task)
        self.side.detail.entry_wanted.connect(self._show_other)

    @override
    def refresh(self) -> None:
        """Read the ledger anew; what is being typed stays."""
        self.context.work.on_logbook(
            partial(read_ledger, self.context.desk, span=self._span, view=self.filter.shown_view),
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
        money_of, lists = self.context.speech.currency, self.lists
        if self.filter.shown_view is View.PAID:
            text = ledger_csv(lists.paid_model.rows, money_of)
        else:
            text = used_csv(lists.used_model.rows, money_of)
        self.context.work.elsewhere(
            partial(_write, path, text),
            done=self._say_exported,
            title=self.context.say("Writing the file"),
        )

    def _add_actions(self) -> None:
        say, add, writer = self.context.say, self.add_action, self.writer
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
            say("&Export as CSV…"), self._export, icon="export", keys="Ctrl+E"
        )

    def _arrange(self) -> None:
        splitter = beside(self.lists, self.side, shares=(5, 2))
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
            self.filter.show_paid()
        kind, speech = self.filter.shown_kind, self.context.speech
        paid = [e for e in self._shown.entries if kind is None or e.category is kind]
        used = [u for u in self._shown.used if kind is None or u.category is kind]
        if self.filter.shown_view is View.PAID:
            total = money(speech, sum(entry.minor for entry in paid))
            self.say_below_title(speech.say("Paid in this period: {amount}", amount=total))
            self.lists.show_paid(paid, wanted)
            self._export_action.setEnabled(bool(paid))
        else:
            total = money(speech, sum(line.minor for line in used))
            self.say_below_title(speech.say("Used in this period: {amount}", amount=total))
            self.lists.show_used(used)
            self._export_action.setEnabled(bool(used))

    @Slot(object)
    def _choose(self, entry: EntryId | None) -> None:
        if entry is None:
            self._show_detail(None)
            return
        self.context.work.on_logbook(
            partial(entry_detail, self.context.desk, entry),
            done=self._show_detail,
            title=self.context.say("Reading an amount"),
            replaces="entry",
        )

    @Slot(object)
    def _choose_use(self, line: UsedLine) -> None:
        self._show_detail(None)
        self.side.detail.show_used(line)

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
    def _choose_view(self, _view: View) -> None:
        self.refresh()

    @Slot(object)
    def _follow(self, written: Written) -> None:
        if written.detail is not None:
            self.show_subject(written.detail.entry.id)

    @Slot()
    def _back_to_list(self) -> None:
        self.lists.take_focus()

    @Slot(object)
    def _show_task(self, task: object) -> None:
        self.context.go("tasks", task)

    @Slot(object)
    def _show_other(self, entry: object) -> None:
        self.show_subject(entry)

    @Slot()
    def _delete(self) -> None:
        if self.writer.detail is not None:
            self.writer.delete(self.writer.detail.entry)

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
