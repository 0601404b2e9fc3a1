"""The forms beside the ledger that start from one amount: refund, end of use, correction."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from typing_extensions import override

from tubcare.desktop.choices import ListBox
from tubcare.desktop.entry import DateEntry, MoneyEntry, NumberEntry, TextEntry
from tubcare.desktop.ledger_forms import LedgerForm
from tubcare.desktop.ledger_words import milli, of_milli, title_of
from tubcare.desktop.ledger_work import write_correction, write_end, write_refund
from tubcare.ledger.categories import SpendCategory
from tubcare.services.corrections import Correction
from tubcare.services.money import Belongs

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from tubcare.desktop.ledger_work import Written
    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.entries import EntryDetail
    from tubcare.services.ledger_choices import LedgerChoices


class RefundForm(LedgerForm):
    """Money that came back for one amount; all of it unless said otherwise."""

    def __init__(self, context: Context, choices: LedgerChoices, detail: EntryDetail) -> None:
        say = context.say
        entry = detail.entry
        what = title_of(context.speech, entry)
        super().__init__(context, say("Refund for {what}", what=what))
        self._entry = entry
        self.day = self.add_day(say("Day"), choices.today, max(choices.today, entry.on))
        self.amount = self.add_money("minor", say("Came back"))
        self.amount.fill(entry.minor - detail.refunded_minor)
        self.quantity: NumberEntry | None = None
        if entry.supply is not None:
            self.quantity = NumberEntry("quantity_milli", context.voice, decimals=3)
            self.add_row(
                "quantity_milli",
                say("Went back, in {unit}", unit=entry.supply_unit),
                self.quantity,
                read=self.quantity.number,
                hint=say("Empty when only money came back"),
            )

    @override
    def job(self) -> Callable[[Desk], Written]:
        """Return what writes the refund down."""
        quantity = None if self.quantity is None else self.quantity.number()
        return partial(
            write_refund,
            entry=self._entry.id,
            on=self.day.day_there(),
            minor=self.amount.minor() or 0,
            quantity_milli=None if quantity is None else milli(quantity),
        )


class EndForm(LedgerForm):
    """The day on which a built part was scrapped or replaced."""

    def __init__(self, context: Context, choices: LedgerChoices, detail: EntryDetail) -> None:
        what = title_of(context.speech, detail.entry)
        super().__init__(context, context.say("End of the use of {what}", what=what))
        self._entry = detail.entry
        self.day = self.add_day(context.say("Last day of use"), choices.today)

    @override
    def job(self) -> Callable[[Desk], Written]:
        """Return what writes the end down."""
        return partial(write_end, entry=self._entry.id, on=self.day.day_there())

    @override
    def said(self, title: str, amount: str) -> str:
        """Return that the rest is written off."""
        _ = amount
        return self.context.say("The rest of {what} is written off.", what=title)


class CorrectionForm(LedgerForm):
    """One amount with every field that can be corrected."""

    def __init__(self, context: Context, choices: LedgerChoices, detail: EntryDetail) -> None:
        say, voice, entry = context.say, context.voice, detail.entry
        super().__init__(context, say("Change: {what}", what=title_of(context.speech, entry)))
        self._detail = detail
        self.note = TextEntry("note", voice)
        self.note.setText(entry.note)
        self.add_row("note", say("What, or a note"), self.note, read=self.note.read)
        self.amount = self.add_money(
            "minor", say("Came back") if entry.minor < 0 else say("Amount")
        )
        self.amount.fill(abs(entry.minor))
        self.day = self.add_day(say("Day"), choices.today, entry.on)
        self.category = self.add_categories(entry.category)
        self.payee = TextEntry("payee", voice)
        self.payee.setText(entry.payee)
        self.add_row("payee", say("Paid to"), self.payee, read=self.payee.read)
        self.tub = self.add_tubs(choices)
        self.tub.choose(entry.tub)
        self.task = self._add_tasks(choices)
        self.quantity = self._add_quantity()
        self.expires = self._add_expiry(choices.today)
        self.months, self.salvage = self._add_life()
        if detail.follows_from_a_measurement:
            self.day.setReadOnly(True)
            self.category.setEnabled(False)

    @override
    def job(self) -> Callable[[Desk], Written]:
        """Return what corrects the amount."""
        entry = self._detail.entry
        minor = self.amount.minor() or 0
        quantity = entry.quantity_milli
        if self.quantity is not None:
            typed = self.quantity.number()
            quantity = None if typed is None else milli(typed)
        wanted = Correction(
            on=self.day.day_there(),
            minor=-minor if entry.minor < 0 else minor,
            category=SpendCategory(self.category.currentData()),
            quantity_milli=quantity,
            payee=self.payee.read(),
            note=self.note.text(),
            expires_on=None if self.expires is None else self.expires.day(),
            belongs=Belongs(
                tub=self.tub.currentData(),
                task=self.task.currentData(),
                completion=self._detail.completion,
            ),
            months=None if self.months is None else int(self.months.number() or 0),
            salvage_minor=None if self.salvage is None else self.salvage.minor() or 0,
        )
        return partial(write_correction, entry=entry.id, wanted=wanted)

    @override
    def said(self, title: str, amount: str) -> str:
        """Return that the amount was changed."""
        return self.context.say("Changed: {what}, {amount}.", what=title, amount=amount)

    def _add_tasks(self, choices: LedgerChoices) -> ListBox:
        entry, say = self._detail.entry, self.context.say
        offered = [(task.title, task.id) for task in choices.tasks]
        if entry.task is not None and all(task != entry.task for _, task in offered):
            # It was dropped from the plan; the amount still belongs to it.
            offered.append((entry.task_title, entry.task))
        box = ListBox()
        box.fill([(say("none"), None), *offered])
        box.choose(entry.task)
        self.add_row("task", say("Belongs to the task"), box)
        return box

    def _add_quantity(self) -> NumberEntry | None:
        entry = self._detail.entry
        if entry.supply is None:
            return None
        field = NumberEntry(
            "quantity_milli", self.context.voice, required=entry.kind == "stock", decimals=3
        )
        if entry.quantity_milli is not None:
            field.fill(of_milli(entry.quantity_milli))
        label = self.context.say("Quantity in {unit}", unit=entry.supply_unit)
        self.add_row("quantity_milli", label, field, read=field.number)
        return field

    def _add_expiry(self, today: date) -> DateEntry | None:
        if self._detail.entry.kind != "stock":
            return None
        field = DateEntry("expires_on", self.context.voice, today, required=False)
        field.fill(self._detail.expires_on)
        self.add_row("expires_on", self.context.say("Keeps until"), field, read=field.day)
        return field

    def _add_life(self) -> tuple[NumberEntry | None, MoneyEntry | None]:
        if self._detail.months is None:
            return None, None
        months = NumberEntry("months", self.context.voice, required=True, decimals=0)
        months.fill(self._detail.months)
        self.add_row("months", self.context.say("Months of use"), months, read=months.number)
        salvage = self.add_money("salvage_minor", self.context.say("Worth at the end"))
        salvage.fill(self._detail.salvage_minor)
        return months, salvage
