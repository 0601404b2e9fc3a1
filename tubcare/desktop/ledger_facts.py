"""What is known about an amount or a use: a label and a text for each fact."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.desktop.ledger_words import kind_of, kind_word
from tubcare.ledger.money import divide_half_even
from tubcare.words.dates import long_date, medium_date
from tubcare.words.money import money
from tubcare.words.money_terms import money_word
from tubcare.words.sentences.shelf import supply_amount

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tubcare.services.entries import Entry, EntryDetail
    from tubcare.services.used import UsedLine
    from tubcare.words.locale import Speech

_LEAST_PRICE_MINOR = 10


def facts_of(speech: Speech, detail: EntryDetail) -> list[tuple[str, str]]:
    """Return what is known about an amount: a label and a text for each."""
    entry, say = detail.entry, speech.say
    lines = [
        (say("Amount"), money(speech, entry.minor)),
        (say("Day"), long_date(speech, entry.on)),
        (say("Kind"), money_word(speech, entry.category)),
        (say("How"), kind_word(speech, kind_of(entry))),
    ]
    lines += _stock(speech, detail)
    if detail.refunded_minor:
        lines.append((say("Came back so far"), money(speech, detail.refunded_minor)))
    lines += _belongs(speech, detail)
    lines += _life(speech, detail)
    if entry.payee:
        lines.append((say("Paid to"), entry.payee))
    if entry.note and entry.supply is None and "\n" not in entry.note.strip():
        return lines
    if entry.note:
        lines.append((say("Note"), entry.note))
    return lines


def _stock(speech: Speech, detail: EntryDetail) -> Iterator[tuple[str, str]]:
    entry = detail.entry
    if entry.quantity_milli:
        unit = entry.supply_unit or {"power": "kWh", "water": "l"}.get(entry.kind, "")
        quantity = entry.quantity_milli
        yield speech.say("Quantity"), supply_amount(speech, quantity, unit)
        if entry.supply is not None:
            yield speech.say("Price"), _price(speech, abs(entry.minor), quantity, unit)
    if detail.expires_on is not None:
        yield speech.say("Keeps until"), medium_date(speech, detail.expires_on)
    if detail.from_day is not None:
        yield speech.say("Since the reading of"), medium_date(speech, detail.from_day)


def _price(speech: Speech, minor: int, quantity_milli: int, unit: str) -> str:
    """Return the price of one, or of a thousand where one costs next to nothing."""
    each, count = divide_half_even(minor * 1000, quantity_milli), 1000
    if each < _LEAST_PRICE_MINOR:
        each, count = divide_half_even(minor * 1_000_000, quantity_milli), 1_000_000
    per = unit if count == 1000 else supply_amount(speech, count, unit)
    return speech.say("{amount} for {quantity}", amount=money(speech, each), quantity=per)


def _belongs(speech: Speech, detail: EntryDetail) -> Iterator[tuple[str, str]]:
    entry = detail.entry
    if entry.tub_name:
        yield speech.say("Tub"), entry.tub_name
    if entry.task_title:
        yield speech.say("Task"), entry.task_title
    if entry.supply_name:
        yield speech.say("Supply"), entry.supply_name
    if detail.completed_on is not None:
        yield speech.say("Done"), _done(speech, detail)


def _done(speech: Speech, detail: EntryDetail) -> str:
    assert detail.completed_on is not None  # noqa: S101  asked only for what was done
    day = medium_date(speech, detail.completed_on)
    if not detail.completed_by:
        return day
    return speech.say("{day}, by {name}", day=day, name=detail.completed_by)


def _life(speech: Speech, detail: EntryDetail) -> Iterator[tuple[str, str]]:
    if detail.months is None:
        return
    entry: Entry = detail.entry
    base = entry.minor - (detail.salvage_minor or 0)
    each = money(speech, divide_half_even(base, detail.months))
    told = speech.say_count(
        "{n} month, {each} each", "{n} months, {each} each", detail.months, each=each
    )
    yield speech.say("Spread over"), told
    if detail.salvage_minor:
        yield speech.say("Worth at the end"), money(speech, detail.salvage_minor)
    if detail.ended_on is not None:
        yield speech.say("Use ended"), medium_date(speech, detail.ended_on)


def used_facts(speech: Speech, line: UsedLine) -> list[tuple[str, str]]:
    """Return what is known about stock that left the shelf."""
    say = speech.say
    lines = [
        (say("Used"), money(speech, line.minor)),
        (say("Day"), long_date(speech, line.on)),
        (say("Kind"), money_word(speech, line.category)),
        (say("How"), kind_word(speech, line.kind)),
    ]
    if line.quantity_milli:
        lines.append(
            (say("Quantity"), supply_amount(speech, line.quantity_milli, line.supply_unit))
        )
        price = _price(speech, abs(line.minor), abs(line.quantity_milli), line.supply_unit)
        lines.append((say("At the average price of"), price))
    for label, text in (
        (say("Tub"), line.tub_name),
        (say("Task"), line.task_title),
        (say("Note"), line.note),
    ):
        if text:
            lines.append((label, text))
    return lines
