"""What is typed into the fields of the catch-up grid, what stands there, and what is wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from tubcare.care.terms import Counter, Status
from tubcare.desktop.marks import state_word
from tubcare.errors import InputError, OutOfRangeError, TubcareError
from tubcare.services.catch_up import LaterTickError, SheetKind, Tick
from tubcare.services.upkeep_work import EarlyWorkError
from tubcare.words.dates import day_and_month, weekday_date
from tubcare.words.numbers import number, parse_number, parse_whole
from tubcare.words.sentences.errors import trouble
from tubcare.words.sentences.reasons import reason_sentence
from tubcare.words.sentences.water_entry import doubt_text
from tubcare.words.terms import word
from tubcare.words.water_values import field_label, kit_figure, kit_unit

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.catch_up_sheet import OnRecord, SheetRow
    from tubcare.water.doubt import EntryDoubt
    from tubcare.words.locale import Speech

DONE: Final = "x"
_TICKS: Final = {DONE: Tick.DONE, "x!": Tick.RESTARTS, "x+": Tick.EXTRA}


@dataclass(frozen=True, slots=True, kw_only=True)
class CellFault:
    """What is wrong with a field: a word to stand in it, and the whole of it."""

    word: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field: what is typed, what is wrong with it, and what is on record there."""

    typed: str
    fault: CellFault | None
    known: str

    def shown(self) -> str:
        """Return what stands in the field; a fault takes a second line."""
        if self.fault is not None:
            return f"{self.typed}\n{self.fault.word}"
        return self.typed or self.known

    def spoken(self, speech: Speech, row: str, on: date) -> str:
        """Return the field as a screen reader says it."""
        parts = [row, weekday_date(speech, on)]
        if self.known:
            parts.append(speech.say("on record: {what}", what=self.known))
        if self.typed:
            parts.append(speech.say("typed: {what}", what=self.typed))
        if self.fault is not None:
            parts += [self.fault.word, self.fault.text]
        return ", ".join(parts)


def read_cell(speech: Speech, row: SheetRow, text: str) -> Tick | float:
    """Return what was typed into a field; a reading in the unit of its kit.

    Raises
    ------
    InputError
        When it cannot be understood.
    """
    kind, name = row.key.kind, row.key.name
    if kind is SheetKind.TASK:
        tick = _TICKS.get("".join(text.split()).casefold())
        if tick is None:
            raise InputError("task", tick_help(speech))
        return tick
    if kind is SheetKind.DIPS:
        return parse_whole(speech, "dips", text)
    return float(parse_number(speech, name, text))


def tick_help(speech: Speech) -> str:
    """Return what can be typed to tick off, as a sentence."""
    return speech.say("Type x for done, x! if its clock starts anew, x+ for extra work.")


def row_name(speech: Speech, row: SheetRow) -> str:
    """Return what a row is about, with its unit."""
    kind, name = row.key.kind, row.key.name
    if kind is SheetKind.TASK:
        return row.title
    if kind is SheetKind.DIPS:
        return speech.say("Dips")
    if kind is SheetKind.METER:
        return speech.say("Meter: {what}", what=word(speech, Counter(name)))
    told = field_label(speech, name)
    unit = "" if row.kit is None else kit_unit(speech, row.kit, name)
    return f"{told} ({unit})" if unit else told


def known_text(speech: Speech, row: SheetRow, known: OnRecord) -> str:
    """Return what is on record for a field: a state, or a figure in the person's units."""
    if known.status is not None:
        return state_word(speech, known.status)
    value = known.value or 0.0
    if row.kit is not None:
        return kit_figure(speech, row.kit, row.key.name, value)
    return number(speech, value)


def is_closed(row: SheetRow, known: OnRecord | None) -> bool:
    """Return whether a field takes nothing more: its task is done or skipped on that day."""
    closed = {Status.DONE, Status.SKIPPED}
    return row.key.kind is SheetKind.TASK and known is not None and known.status in closed


def doubt_of(speech: Speech, row: SheetRow, doubt: EntryDoubt) -> CellFault | None:
    """Return what is asked about a reading, None where it has no kit; it may well be true."""
    if row.kit is None:
        return None
    told = doubt_text(speech, row.kit, doubt)
    keep = speech.say("Save once more to keep it as it is.")
    return CellFault(word=speech.say("Sure?"), text=f"{told} {keep}")


def fault_of(speech: Speech, error: TubcareError) -> CellFault:
    """Return an error as a word and a sentence with the way out."""
    if isinstance(error, EarlyWorkError):
        return CellFault(word=speech.say("Early"), text=_early(speech, error))
    if isinstance(error, LaterTickError):
        day = day_and_month(speech, error.later)
        return CellFault(
            word=speech.say("Done later"),
            text=speech.say(
                "It was done on {day}, and its clock runs from that day. Type x for extra work.",
                day=day,
            ),
        )
    if isinstance(error, InputError):
        return CellFault(word=speech.say("Unclear"), text=reason_sentence(speech, error.reason))
    told = trouble(speech, error)
    if isinstance(error, OutOfRangeError):
        return CellFault(word=speech.say("Out of range"), text=f"{told.happened} {told.advice}")
    return CellFault(word=speech.say("Does not fit"), text=told.happened)


def _early(speech: Speech, error: EarlyWorkError) -> str:
    if error.began_on is None:
        return speech.say(
            "Not due before {day}. Type x! if its clock starts anew, x+ for extra work.",
            day=day_and_month(speech, error.opens_on),
        )
    return speech.say(
        "In the plan since {day} only. Type x! if its clock runs from this work, x+ for extra "
        "work.",
        day=day_and_month(speech, error.began_on),
    )
