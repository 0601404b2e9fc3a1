"""The words of the calendar: lines, days, and how the tubs stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.care.terms import Edge, TubState
from tubcare.desktop.marks import MARKS, Mark, state_word
from tubcare.services.calendar import EntryKind
from tubcare.words.dates import day_and_month, long_date, relative_day
from tubcare.words.escape import one_line
from tubcare.words.sentences.why import why
from tubcare.words.terms import word

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.calendar import Calendar, Day, Line
    from tubcare.services.calendar_season import SeasonNow, SeasonTurn
    from tubcare.words.locale import Speech

_NAMED = 3
_NOTE = 200
_FORESEEN = Mark("foreseen", "coming")


def line_mark(line: Line) -> Mark:
    """Return the shape and colour of a line; what is foreseen has a shape of its own."""
    return _FORESEEN if line.kind is EntryKind.FORESEEN else MARKS[line.status]


def line_name(speech: Speech, line: Line, *, tubs: int) -> str:
    """Return what a line stands for, with its tub where there are several."""
    name = line.name
    if line.is_round:
        name = speech.say_count(
            "{name} ({n} task)", "{name} ({n} tasks)", len(line.entries), name=name
        )
    if line.about:
        name = speech.say("{name} (about)", name=name)
    return f"{name} · {line.entries[0].tub_name}" if tubs > 1 else name


def line_state(speech: Speech, line: Line) -> str:
    """Return the state of a line: Late, Done, Foreseen, about."""
    foreseen = line.kind is EntryKind.FORESEEN
    told = speech.say("Foreseen") if foreseen else state_word(speech, line.status)
    return speech.say("{state}, about", state=told) if line.about else told


def line_spoken(speech: Speech, line: Line, *, tubs: int) -> str:
    """Return a line as a screen reader says it."""
    return f"{line_name(speech, line, tubs=tubs)}, {line_state(speech, line)}"


def line_why(speech: Speech, line: Line) -> str:
    """Return why a line is there: what makes it due, or who did it and the note."""
    entry = line.entries[0]
    if entry.occurrence is None:
        note = one_line(entry.note, _NOTE)
        return ", ".join(part for part in (entry.who, note) if part)
    if line.kind is EntryKind.FORESEEN:
        return speech.say("when all before it is done on its day")
    if line.is_round:
        return speech.say("one tick for the whole round")
    return why(speech, entry.occurrence, entry.today)


def turn_in_cell(speech: Speech, turn: SeasonTurn) -> str:
    """Return a turn where there is little room: “Closes” is planned, “Closed” was done."""
    if turn.frost is not None:
        return turn_text(speech, turn)
    if turn.planned and turn.state is TubState.OPEN:
        return speech.say("Opens: {tub}", tub=turn.tub_name)
    if turn.planned and turn.state is TubState.CLOSED:
        return speech.say("Closes: {tub}", tub=turn.tub_name)
    return turn_text(speech, turn)


def turn_text(speech: Speech, turn: SeasonTurn) -> str:
    """Return what happens to a tub on a day: Opens, planned: Shore."""
    if turn.frost is Edge.FROST_DRY:
        return speech.say("Dry by: {tub}", tub=turn.tub_name)
    if turn.frost is not None:
        return speech.say("Frost watch: {tub}", tub=turn.tub_name)
    if turn.state is TubState.OPEN:
        told = speech.say("Opens, planned") if turn.planned else speech.say("Opened")
    elif turn.state is TubState.CLOSED:
        told = speech.say("Closes, planned") if turn.planned else speech.say("Closed")
    else:
        told = word(speech, turn.state)
        told = told[:1].upper() + told[1:]
    return speech.say("{what}: {tub}", what=told, tub=turn.tub_name)


def tubs_text(speech: Speech, day: Day) -> str:
    """Return how the tubs stand on a day: Shore open (planned), Yard closed."""
    told = [
        speech.say("{tub} {state}, planned", tub=t.tub_name, state=word(speech, t.state))
        if t.planned
        else speech.say("{tub} {state}", tub=t.tub_name, state=word(speech, t.state))
        for t in day.tubs
    ]
    return "; ".join(told)


def day_spoken(speech: Speech, day: Day, calendar: Calendar) -> str:
    """Return a whole day as a screen reader says it: date, season, each line with its state."""
    parts = [long_date(speech, day.on)]
    if day.on == calendar.today:
        parts.append(relative_day(speech, day.on, calendar.today))
    parts += [turn_text(speech, turn) for turn in day.turns]
    count = sum(len(line.entries) for line in day.lines)
    none = speech.say("nothing on this day")
    parts.append(speech.say_count("{n} entry", "{n} entries", count) if count else none)
    parts += [line_spoken(speech, line, tubs=len(calendar.seasons)) for line in day.lines]
    tubs = tubs_text(speech, day)
    return "; ".join([*parts, tubs] if tubs else parts)


def season_sentence(speech: Speech, now: SeasonNow, today: date) -> str:
    """Return how a tub stands and what comes next, in one sentence."""
    state = word(speech, now.state)
    if now.since is None:
        told = speech.say("{tub}: {state}", tub=now.tub_name, state=state)
    else:
        since = day_and_month(speech, now.since, today)
        told = speech.say("{tub}: {state} since {day}", tub=now.tub_name, state=state, day=since)
    turn = now.next_turn
    if now.was_to_close is not None:
        day = day_and_month(speech, now.was_to_close, today)
        return speech.say("{tub}, was to close on {day}", tub=told, day=day)
    if turn is None:
        return told
    day = day_and_month(speech, turn.on, today)
    if turn.state is TubState.CLOSED:
        return speech.say("{tub}, closes on {day} as planned", tub=told, day=day)
    return speech.say("{tub}, opens on {day} as planned", tub=told, day=day)


def late_before(speech: Speech, calendar: Calendar) -> str:
    """Return what is still open from before the days shown, empty when nothing is."""
    lines = calendar.before
    if not lines:
        return ""
    names = [line_name(speech, line, tubs=len(calendar.seasons)) for line in lines[:_NAMED]]
    rest = len(lines) - len(names)
    if rest:
        names.append(speech.say_count("{n} more", "{n} more", rest))
    told = ", ".join(names)
    return speech.say("Late from before these weeks: {names}. The agenda lists them.", names=told)
