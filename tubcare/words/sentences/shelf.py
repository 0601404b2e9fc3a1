"""What the shelf lacks for work, before it is done and after."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from tubcare.words.dates import medium_date
from tubcare.words.numbers import number

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from tubcare.ledger.lots import ShelfNote
    from tubcare.words.locale import Speech

#: The unit of things that are counted; their name says it already.
PIECE = "piece"


def supply_amount(speech: Speech, quantity_milli: int, unit: str) -> str:
    """Return a quantity of a supply, in thousandths of its unit: "250 g", pieces as "2"."""
    whole, rest = divmod(quantity_milli, 1000)
    figure = number(speech, whole if not rest else Decimal(quantity_milli).scaleb(-3).normalize())
    counted = unit in {PIECE, speech.own(PIECE)}
    return figure if counted else speech.say("{figure} {unit}", figure=figure, unit=unit)


def lacking(speech: Speech, notes: Sequence[ShelfNote]) -> tuple[str, ...]:
    """Return what the shelf lacks for work that is to be done, a phrase for each."""
    return tuple(_lacking(speech, notes))


def lacked(speech: Speech, notes: Sequence[ShelfNote]) -> tuple[str, ...]:
    """Return what the shelf lacked for work that was recorded, a sentence for each."""
    return tuple(_lacked(speech, notes))


def _lacking(speech: Speech, notes: Sequence[ShelfNote]) -> Iterator[str]:
    for note in notes:
        takes = supply_amount(speech, note.takes_milli, note.unit)
        left = supply_amount(speech, note.left_milli, note.unit)
        if note.is_short and note.left_milli <= 0:
            yield (
                speech.say(
                    "{supply}: earlier work leaves nothing on the shelf, this takes {takes}",
                    supply=note.name,
                    takes=takes,
                )
                if note.earlier_milli and note.left_milli + note.earlier_milli > 0
                else speech.say(
                    "{supply}: nothing is on the shelf, this takes {takes}",
                    supply=note.name,
                    takes=takes,
                )
            )
        elif note.is_short and note.earlier_milli:
            yield speech.say(
                "{supply}: earlier work leaves {left} on the shelf, this takes {takes}",
                supply=note.name,
                left=left,
                takes=takes,
            )
        elif note.is_short:
            yield speech.say(
                "{supply}: only {left} on the shelf, this takes {takes}",
                supply=note.name,
                left=left,
                takes=takes,
            )
        if note.keeps_until is not None:
            yield speech.say(
                "{supply}: some on the shelf keeps only until {day}",
                supply=note.name,
                day=medium_date(speech, note.keeps_until),
            )


def _lacked(speech: Speech, notes: Sequence[ShelfNote]) -> Iterator[str]:
    for note in notes:
        if note.is_short:
            yield speech.say(
                "{supply}: {left} was on the shelf, this took {takes}.",
                supply=note.name,
                left=supply_amount(speech, max(0, note.left_milli), note.unit),
                takes=supply_amount(speech, note.takes_milli, note.unit),
            )
        if note.keeps_until is not None:
            yield speech.say(
                "{supply}: some of it kept only until {day}.",
                supply=note.name,
                day=medium_date(speech, note.keeps_until),
            )
