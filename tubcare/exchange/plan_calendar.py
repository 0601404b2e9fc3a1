"""The plan as an iCalendar file (RFC 5545), for any calendar program or telephone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, timedelta
from typing import TYPE_CHECKING
from uuid import NAMESPACE_URL, uuid5

from tubcare.care.terms import Edge, TubState
from tubcare.services.calendar import EntryKind
from tubcare.words.sentences.why import why

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date, datetime

    from tubcare.services.calendar import Calendar, Line
    from tubcare.services.calendar_season import SeasonTurn
    from tubcare.words.locale import Speech

#: RFC 5545, 3.1: lines of at most 75 octets without the line break.
_OCTETS = 75
_TENTATIVE, _CERTAIN = "TENTATIVE", "CONFIRMED"
_PRODUCT = "-//tubcare//care plan//EN"


def plan_calendar(calendar: Calendar, speech: Speech, *, logbook: str, now: datetime) -> str:
    """Return every open and foreseen date and every turn of the season as all-day events.

    What was done is left out. An event of the open date of a task keeps its UID when the date
    moves, so that taking the file in again moves it; foreseen ones are tentative.

    Parameters
    ----------
    logbook
        The address of the logbook, which tells its events from those of another one.
    now
        The instant of writing.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{_PRODUCT}", "CALSCALE:GREGORIAN"]
    for line in (*calendar.before, *(each for day in calendar.days for each in day.lines)):
        if line.kind is not EntryKind.CLOSED:
            lines += _event(_of_line(line, calendar, speech), logbook, now)
    for turn in (each for day in calendar.days for each in day.turns):
        lines += _event(_of_turn(turn, speech), logbook, now)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded}\r\n" for line in lines for folded in fold(line))


def escaped(text: str) -> str:
    """Return a text value as RFC 5545, 3.3.11 wants it."""
    plain = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return plain.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")


def fold(line: str) -> Iterator[str]:
    """Yield a content line in pieces of at most 75 octets, none of which cuts a letter."""
    piece, size = "", 0
    for char in line:
        octets = len(char.encode())
        if size + octets > _OCTETS:
            yield piece
            piece, size = " ", 1
        piece, size = piece + char, size + octets
    yield piece


@dataclass(frozen=True, slots=True)
class _Parts:
    """What makes up one event; `mark` tells it from the others of the logbook."""

    on: date
    mark: str
    summary: str
    told: str
    status: str


def _of_line(line: Line, calendar: Calendar, speech: Speech) -> _Parts:
    entry = line.entries[0]
    name = line.name
    if line.about:
        name = speech.say("{name} (about)", name=name)
    if len(calendar.tubs) > 1:
        name = f"{name} · {entry.tub_name}"
    foreseen = line.kind is EntryKind.FORESEEN
    # The open date keeps its mark when it moves; a foreseen one has nothing but its day.
    what = f"round {entry.round_name}" if line.is_round else f"task {entry.task}"
    key = entry.occurrence.key if entry.occurrence is not None else ""
    place = entry.on.isoformat() if foreseen else key
    if foreseen:
        told = speech.say("Foreseen: when all before it is done on its day.")
    elif line.is_round:
        told = "\n".join(each.title for each in line.entries)
    else:
        told = why(speech, entry.occurrence, entry.today) if entry.occurrence else ""
    status = _TENTATIVE if foreseen else _CERTAIN
    return _Parts(line.on, f"{entry.tub} {what} {place}", name, told, status)


def _of_frost(turn: SeasonTurn, speech: Speech) -> _Parts:
    name = (
        speech.say("{tub}: dry by today", tub=turn.tub_name)
        if turn.frost is Edge.FROST_DRY
        else speech.say("{tub}: the frost watch begins", tub=turn.tub_name)
    )
    told = speech.say("At the risk that was chosen, from the winters on record.")
    return _Parts(turn.on, f"{turn.tub} {turn.frost} {turn.on.year}", name, told, _TENTATIVE)


def _of_turn(turn: SeasonTurn, speech: Speech) -> _Parts:
    if turn.frost is not None:
        return _of_frost(turn, speech)
    if turn.state is TubState.OPEN:
        name = speech.say("{tub} opens", tub=turn.tub_name)
    elif turn.state is TubState.CLOSED:
        name = speech.say("{tub} closes", tub=turn.tub_name)
    else:
        name = turn.tub_name
    told = speech.say("As planned in the profile of the tub.") if turn.planned else ""
    # A plan has one turn of a kind in a year; on record there may be several.
    when = turn.on.year if turn.planned else turn.on.isoformat()
    mark = f"{turn.tub} {turn.state.value} {when}"
    return _Parts(turn.on, mark, name, told, _TENTATIVE if turn.planned else _CERTAIN)


def _event(parts: _Parts, logbook: str, now: datetime) -> list[str]:
    return [
        "BEGIN:VEVENT",
        f"UID:{uuid5(NAMESPACE_URL, f'{logbook} {parts.mark}')}",
        f"DTSTAMP:{now.astimezone(UTC):%Y%m%dT%H%M%SZ}",
        f"DTSTART;VALUE=DATE:{parts.on:%Y%m%d}",
        f"DTEND;VALUE=DATE:{parts.on + timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{escaped(parts.summary)}",
        *([f"DESCRIPTION:{escaped(parts.told)}"] if parts.told else []),
        f"STATUS:{parts.status}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]
