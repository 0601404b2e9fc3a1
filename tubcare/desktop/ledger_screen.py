"""The ledger: what left the wallet, newest first."""

from __future__ import annotations

from datetime import timedelta
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Slot
from typing_extensions import override

from tubcare.desktop.screen import Screen
from tubcare.desktop.speaking import speech_of
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.services.corrections import delete_entry
from tubcare.services.entries import Entry, entries
from tubcare.services.topics import Topic
from tubcare.words.dates import medium_date
from tubcare.words.money import money
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.topics import Topics
    from tubcare.words.locale import Speech

DAYS_SHOWN = 366


class LedgerScreen(Screen):
    """Lists the amounts of the last year; each can be deleted and taken back."""

    topics: ClassVar[Topics] = frozenset({Topic.MONEY, Topic.STOCK})

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Ledger"))
        self._speech = context.speech
        columns = (
            Column(key="on", title=say("Day"), text=self._day, sort=_day_key),
            Column(key="what", title=say("What"), text=_what, sort=_what, stretch=True),
            Column(key="category", title=say("Kind"), text=self._category, sort=self._category),
            Column(key="amount", title=say("Paid"), text=self._amount, sort=_minor, numeric=True),
        )
        self.model = RowsModel(columns, context.icons, identity=_identity)
        self.table = Table(say("Amounts"), "ledger", self.model, context.keeping)
        self.body.addWidget(self.table, 1)
        self.add_action(say("De&lete the amount"), self._delete, keys="Del", button=True)

    @override
    def refresh(self) -> None:
        """Read the ledger anew."""
        self.context.work.on_logbook(
            partial(_read, self.context.desk),
            done=self._show,
            title=self.context.say("Reading the ledger"),
            replaces="ledger",
        )

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the list."""
        self.table.setFocus()

    def _show(self, read: tuple[tuple[Entry, ...], Speech]) -> None:
        found, self._speech = read
        self.model.set_rows(found)
        total = money(self._speech, sum(entry.minor for entry in found))
        self.say_below_title(self._speech.say("Paid in the last year: {amount}", amount=total))

    @Slot()
    def _delete(self) -> None:
        entry = self.table.current_row
        if entry is not None:
            self.context.work.on_logbook(
                partial(_delete_one, self.context.desk, entry),
                done=self._say_deleted,
                title=self.context.say("Deleting an amount"),
            )

    def _say_deleted(self, what: str) -> None:
        text = self.context.say("Deleted: {what}.", what=what)
        self.context.strip.say(text, undo=self.context.undo)

    def _day(self, entry: Entry) -> str:
        return medium_date(self._speech, entry.on)

    def _amount(self, entry: Entry) -> str:
        return money(self._speech, entry.minor)

    def _category(self, entry: Entry) -> str:
        return money_word(self._speech, entry.category)


def _read(desk: Desk) -> tuple[tuple[Entry, ...], Speech]:
    today = desk.home_today()
    found = entries(desk, first=today - timedelta(days=DAYS_SHOWN), last=today)
    return found, speech_of(desk)


def _delete_one(desk: Desk, entry: Entry) -> str:
    delete_entry(desk, entry.id)
    return _what(entry)


def _identity(entry: Entry) -> int:
    return entry.id


def _what(entry: Entry) -> str:
    return entry.supply_name or entry.task_title or entry.note or entry.kind


def _day_key(entry: Entry) -> str:
    return entry.on.isoformat()


def _minor(entry: Entry) -> int:
    return entry.minor
