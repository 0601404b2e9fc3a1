"""The list of the ledger: its columns, and what is shown of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.ledger_words import title_of, used_title
from tubcare.desktop.table import Column, RowsModel
from tubcare.words.dates import medium_date
from tubcare.words.money import money
from tubcare.words.money_terms import money_word

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.services.entries import Entry
    from tubcare.services.used import UsedLine
    from tubcare.words.locale import Speech


class LedgerModel(RowsModel["Entry"]):
    """The amounts of a period."""

    def __init__(self, context: Context) -> None:
        self._context = context
        say = context.say
        columns: tuple[Column[Entry], ...] = (
            Column(key="what", title=say("What"), text=self._what, sort=self._what, stretch=True),
            Column(key="on", title=say("Day"), text=self._day, sort=_day_key),
            Column(key="amount", title=say("Paid"), text=self._amount, sort=_minor, numeric=True),
            Column(key="category", title=say("Kind"), text=self._category, sort=self._category),
            Column(key="tub", title=say("Tub"), text=_tub, sort=_tub),
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


class UsedModel(RowsModel["UsedLine"]):
    """What was used in a period."""

    def __init__(self, context: Context) -> None:
        self._context = context
        say = context.say
        columns: tuple[Column[UsedLine], ...] = (
            Column(key="what", title=say("What"), text=self._what, sort=self._what, stretch=True),
            Column(key="on", title=say("Day"), text=self._day, sort=_used_day),
            Column(
                key="amount", title=say("Used"), text=self._amount, sort=_used_minor, numeric=True
            ),
            Column(key="category", title=say("Kind"), text=self._category, sort=self._category),
            Column(key="tub", title=say("Tub"), text=_used_tub, sort=_used_tub),
        )
        super().__init__(columns, context.icons, identity=_used_key)

    def _what(self, line: UsedLine) -> str:
        return used_title(self._context.speech, line)

    def _day(self, line: UsedLine) -> str:
        return medium_date(self._context.speech, line.on)

    def _amount(self, line: UsedLine) -> str:
        return money(self._context.speech, line.minor)

    def _category(self, line: UsedLine) -> str:
        return money_word(self._context.speech, line.category)


def _used_key(line: UsedLine) -> tuple[str, int]:
    return line.key


def _used_day(line: UsedLine) -> tuple[str, tuple[str, int]]:
    return line.on.isoformat(), line.key


def _used_tub(line: UsedLine) -> str:
    return line.tub_name


def _used_minor(line: UsedLine) -> int:
    return line.minor


def _identity(entry: Entry) -> int:
    return entry.id


def _tub(entry: Entry) -> str:
    return entry.tub_name


def _day_key(entry: Entry) -> tuple[str, int]:
    return entry.on.isoformat(), entry.id


def _minor(entry: Entry) -> int:
    return entry.minor
