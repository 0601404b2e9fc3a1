"""The list of the ledger: its columns, and what is shown of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.ledger_words import title_of
from tubcare.desktop.table import Column, RowsModel
from tubcare.words.dates import medium_date
from tubcare.words.money import money
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.services.entries import Entry
    from tubcare.words.locale import Speech


class LedgerModel(RowsModel["Entry"]):
    """The amounts of a period."""

    def __init__(self, context: Context) -> None:
        self._context = context
        say = context.say
        columns: tuple[Column[Entry], ...] = (
            Column(key="what", title=say("What"), text=self._what, sort=self._what, stretch=True),
            Column(key="on", title=say("Day"), text=self._day, sort=_day_key),
            Column(key="category", title=say("Kind"), text=self._category, sort=self._category),
            Column(key="tub", title=say("Tub"), text=_tub, sort=_tub),
            Column(key="amount", title=say("Paid"), text=self._amount, sort=_minor, numeric=True),
        )
        super().__init__(columns, context.icons, identity=_identity)

    @property
    def _speech(self) -> Speech:
        return self._context.speech

    def _what(self, entry: Entry) -> str:
        return title_of(self._speech, entry)

    def _day(self, entry: Entry) -> str:
        return medium_date(self._speech, entry.on)

    def _amount(self, entry: Entry) -> str:
        return money(self._speech, entry.minor)

    def _category(self, entry: Entry) -> str:
        return money_word(self._speech, entry.category)


def _identity(entry: Entry) -> int:
    return entry.id


def _tub(entry: Entry) -> str:
    return entry.tub_name


def _day_key(entry: Entry) -> tuple[str, int]:
    return entry.on.isoformat(), entry.id


def _minor(entry: Entry) -> int:
    return entry.minor
