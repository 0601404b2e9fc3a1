"""How an amount of the ledger is told: its title, its quantity, what it belongs to."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.words.escape import one_line
from tubcare.words.terms import Term, say_term, term

if TYPE_CHECKING:
    from tubcare.services.entries import Entry
    from tubcare.services.used import UsedLine
    from tubcare.words.locale import Speech

_KINDS: dict[str, Term] = {
    "stock": term("kind of amount", "bought for the shelf"),
    "direct": term("kind of amount", "used at once"),
    "build": term("kind of amount", "build"),
    "power": term("kind of amount", "power by meter"),
    "estimate": term("kind of amount", "power, estimated until the meter is read"),
    "water": term("kind of amount", "water by litres"),
    "refund": term("kind of amount", "refund"),
    "used": term("kind of amount", "used up"),
    "expired": term("kind of amount", "thrown away"),
    "stock_take": term("kind of amount", "found missing when counted"),
}


def kind_word(speech: Speech, kind: str) -> str:
    """Return how an amount came about, in words."""
    return say_term(speech, _KINDS[kind]) if kind in _KINDS else kind


def kind_of(entry: Entry) -> str:
    """Return how an amount came about, estimates told apart from what a meter showed."""
    return "estimate" if entry.is_estimate else entry.kind


def title_of(speech: Speech, entry: Entry) -> str:
    """Return on one line what an amount was for."""
    what = one_line(entry.supply_name or entry.note or entry.task_title)
    if entry.kind == "refund":
        return speech.say("Refund: {what}", what=what) if what else speech.say("Refund")
    if what:
        return what
    word = kind_word(speech, kind_of(entry))
    return word[:1].upper() + word[1:]


def used_title(speech: Speech, line: UsedLine) -> str:
    """Return on one line what was used."""
    what = one_line(line.supply_name or line.note or line.task_title)
    word = kind_word(speech, line.kind)
    if line.kind in {"refund", "expired", "stock_take"} and what:
        return speech.say("{what}, {how}", what=what, how=word)
    return what or word[:1].upper() + word[1:]


def milli(quantity: Decimal) -> int:
    """Return a quantity in thousandths of its unit."""
    return int(quantity * 1000)


def of_milli(quantity_milli: int) -> Decimal:
    """Return thousandths of a unit as a number of units."""
    whole, rest = divmod(quantity_milli, 1000)
    return Decimal(whole) if not rest else Decimal(quantity_milli).scaleb(-3).normalize()
