"""What is written down in the ledger: by the quick entry, and by the forms beside the list."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal, Slot

from tubcare.desktop.ledger_changes import CorrectionForm, EndForm, RefundForm
from tubcare.desktop.ledger_forms import BuildForm, LedgerForm, PurchaseForm
from tubcare.desktop.ledger_settings import BudgetForm, PriceForm
from tubcare.desktop.ledger_words import title_of
from tubcare.desktop.ledger_work import Written, delete_one, read_budgets
from tubcare.desktop.work import Fault
from tubcare.services.prices import Prices, prices
from tubcare.words.money import money

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from tubcare.desktop.ledger_quick import QuickEntry
    from tubcare.desktop.ledger_side import LedgerSide
    from tubcare.desktop.screen import Context
    from tubcare.ledger.categories import SpendCategory
    from tubcare.services.desk import Desk
    from tubcare.services.entries import Entry, EntryDetail
    from tubcare.services.ledger_choices import LedgerChoices

T = TypeVar("T")


class LedgerWriter(QObject):
    """Runs the forms of the ledger and says what was recorded, with Undo.

    `choices` and `detail` are what the screen shows; the screen keeps them up to date.
    """

    written = Signal(object)
    """Carries the `Written`, once it is in the logbook."""

    def __init__(self, context: Context, quick: QuickEntry, side: LedgerSide) -> None:
        super().__init__(side)
        self._context = context
        self._quick = quick
        self._side = side
        self.choices: LedgerChoices | None = None
        self.detail: EntryDetail | None = None
        quick.submitted.connect(self.save_quick)
        side.save_wanted.connect(self._save_form)

    @Slot()
    def save_quick(self) -> None:
        """Write the quick entry down."""
        self._write(self._quick.job(), self._say_quick, self._quick_failed)

    @Slot()
    def buy(self) -> None:
        """Open the form of a purchase for the shelf."""
        if self.choices is not None:
            self._side.open_form(PurchaseForm(self._context, self.choices))

    @Slot()
    def build(self) -> None:
        """Open the form of what the build cost."""
        if self.choices is not None:
            self._side.open_form(BuildForm(self._context, self.choices))

    @Slot()
    def change(self) -> None:
        """Open the form that corrects the chosen amount."""
        self._open(CorrectionForm)

    @Slot()
    def refund(self) -> None:
        """Open the form of money that came back for the chosen amount."""
        self._open(RefundForm)

    @Slot()
    def end(self) -> None:
        """Open the form that ends the use of the chosen part of the build."""
        self._open(EndForm)

    @Slot()
    def budgets(self) -> None:
        """Open the form of the budgets."""
        title = self._context.say("Reading the budgets")
        self._on_logbook(read_budgets, self._open_budgets, title)

    @Slot()
    def prices(self) -> None:
        """Open the form of the prices of power and water."""
        title = self._context.say("Reading the prices")
        self._on_logbook(prices, self._open_prices, title)

    def delete(self, entry: Entry) -> None:
        """Delete an amount at once; Undo brings it back."""
        title = self._context.say("Deleting an amount")
        self._on_logbook(partial(delete_one, entry=entry), self._say_deleted, title)

    def _open(self, make: type[CorrectionForm | RefundForm | EndForm]) -> None:
        if self.choices is not None and self.detail is not None:
            self._side.open_form(make(self._context, self.choices, self.detail))

    def _open_budgets(self, years: Mapping[int, Mapping[SpendCategory, int]]) -> None:
        if self.choices is not None:
            self._side.open_form(BudgetForm(self._context, years, self.choices.today.year))

    def _open_prices(self, known: Prices) -> None:
        self._side.open_form(PriceForm(self._context, known))

    @Slot(object)
    def _save_form(self, form: LedgerForm) -> None:
        self._write(form.job(), self._say_form, self._form_failed)

    def _say_quick(self, written: Written) -> None:
        self._quick.start_anew()
        what, amount = self._named(written)
        text = self._context.say("Written down: {what}, {amount}.", what=what, amount=amount)
        self._say(text, written)

    def _say_form(self, written: Written) -> None:
        form = self._side.form
        if form is None:
            return
        text = form.said(*self._named(written))
        self._side.close_form()
        self._say(text, written)

    def _say(self, text: str, written: Written) -> None:
        self._context.strip.say(text, undo=self._context.undo)
        self.written.emit(written)

    def _say_deleted(self, entry: Entry) -> None:
        what = title_of(self._context.speech, entry)
        text = self._context.say("Deleted: {what}.", what=what)
        self._context.strip.say(text, undo=self._context.undo)

    def _named(self, written: Written) -> tuple[str, str]:
        if written.detail is None:
            return "", ""
        entry, speech = written.detail.entry, self._context.speech
        return title_of(speech, entry), money(speech, entry.minor)

    def _quick_failed(self, error: BaseException) -> None:
        if not self._quick.show_error(error):
            self._tell(error)

    def _form_failed(self, error: BaseException) -> None:
        if self._side.form is None or not self._side.form.show_error(error):
            self._tell(error)

    def _tell(self, error: BaseException) -> None:
        title = self._context.say("Writing down an amount")
        self._context.work.faulted.emit(Fault(title=title, error=error))

    def _write(
        self,
        job: Callable[[Desk], Written],
        done: Callable[[Written], None],
        failed: Callable[[BaseException], None],
    ) -> None:
        self._context.work.on_logbook(
            partial(job, self._context.desk),
            done=done,
            failed=failed,
            title=self._context.say("Writing down an amount"),
        )

    def _on_logbook(
        self, call: Callable[[Desk], T], done: Callable[[T], None], title: str
    ) -> None:
        self._context.work.on_logbook(partial(call, self._context.desk), done=done, title=title)
