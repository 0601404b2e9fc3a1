"""What can be done to a line of the calendar, and why something cannot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.services.calendar import EntryKind
from tubcare.services.upkeep_put_off import put_off, put_off_round
from tubcare.services.upkeep_tick import tick_off, tick_round
from tubcare.words.dates import day_and_month, weekday_date

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.calendar import Line
    from tubcare.services.desk import Desk
    from tubcare.services.upkeep_model import Ticked
    from tubcare.values import TaskId
    from tubcare.words.locale import Speech


def tick_line(desk: Desk, line: Line) -> tuple[Ticked, ...]:
    """Tick off a line as usual, the whole round at once; call it in the logbook's thread."""
    items = _open_items(line)
    if line.is_round:
        return tick_round(desk, line.name, items)
    return tuple(tick_off(desk, task, key) for task, key in items)


def move_line(desk: Desk, line: Line, to: date) -> tuple[Ticked, ...]:
    """Move a line to another day, the whole round at once; call it in the logbook's thread."""
    items = _open_items(line)
    if line.is_round:
        return put_off_round(desk, line.name, items, to)
    return tuple(put_off(desk, task, key, to) for task, key in items)


def tick_refusal(speech: Speech, line: Line) -> str:
    """Return why a line cannot be ticked off, empty when it can."""
    if line.kind is EntryKind.CLOSED:
        return speech.say("“{what}” is closed already.", what=line.name)
    if line.kind is EntryKind.FORESEEN:
        return speech.say(
            "“{what}” is only foreseen for this day; tick off the open one before it.",
            what=line.name,
        )
    return ""


def move_refusal(speech: Speech, line: Line, to: date) -> str:
    """Return why a line cannot be moved to a day, empty when that can be tried."""
    if line.kind is EntryKind.CLOSED:
        return speech.say(
            "“{what}” was done on this day and stays there; undo takes the record back.",
            what=line.name,
        )
    if line.kind is EntryKind.FORESEEN:
        return speech.say(
            "“{what}” is only foreseen: its day follows from the open one before it. "
            "Move that one, or change the task.",
            what=line.name,
        )
    today = line.entries[0].today
    if to <= today:
        return speech.say(
            "“{what}” can be moved to a day after today, not to {day}; "
            "what is done today is ticked off.",
            what=line.name,
            day=day_and_month(speech, to, today),
        )
    return ""


def moved_text(speech: Speech, line: Line, moved: tuple[Ticked, ...]) -> str:
    """Return where a line went."""
    to = moved[0].next_due
    day = weekday_date(speech, line.on if to is None else to)
    return speech.say("Moved to {day}: {what}.", day=day, what=line.name)


def _open_items(line: Line) -> list[tuple[TaskId, str]]:
    return [
        (each.task, each.occurrence.key) for each in line.entries if each.occurrence is not None
    ]
