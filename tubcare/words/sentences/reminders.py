"""What a reminder says: a note of one task, or a digest of several."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tubcare.care.terms import Status
from tubcare.words.dates import minutes, relative_day
from tubcare.words.escape import one_line
from tubcare.words.lists import all_of
from tubcare.words.money import about_money

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from tubcare.words.locale import Speech

MOST_NAMED = 3
_BEHIND = frozenset({Status.LATE, Status.OVERDUE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminded:
    """A task as a reminder tells of it. `tub` is "" where the logbook has just one."""

    title: str
    due_on: date
    status: Status
    tub: str = ""
    minutes: int = 0
    expected_minor: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteText:
    """The two texts of a notification; plain text, no markup."""

    title: str
    body: str


def nudge(speech: Speech, task: Reminded, today: date) -> NoteText:
    """Return the note of one task."""
    title = one_line(task.title)
    if task.tub:
        title = speech.say("{title} ({tub})", title=title, tub=one_line(task.tub))
    body = _when(speech, task, today)
    if task.minutes:
        body = speech.say(
            "{sentence} Takes {length}.", sentence=body, length=minutes(speech, task.minutes)
        )
    if task.expected_minor:
        body = speech.say(
            "{sentence} Costs {amount}.",
            sentence=body,
            amount=about_money(speech, task.expected_minor),
        )
    return NoteText(title=title, body=body)


def digest(speech: Speech, tasks: Sequence[Reminded], today: date) -> NoteText:
    """Return the note of several tasks: how many there are, and the first of them by name."""
    behind = sum(task.status in _BEHIND for task in tasks)
    due = sum(task.due_on <= today for task in tasks) - behind
    ahead = len(tasks) - behind - max(0, due)
    counts = []
    if behind:
        counts.append(speech.say_count("{n} late", "{n} late", behind))
    if due > 0:
        counts.append(speech.say_count("{n} due today", "{n} due today", due))
    if ahead:
        counts.append(speech.say_count("{n} coming up", "{n} coming up", ahead))
    title = speech.say_count(
        "{n} task for the tub: {counts}",
        "{n} tasks for the tub: {counts}",
        len(tasks),
        counts=all_of(speech, counts),
    )
    return NoteText(title=title, body=_named(speech, tasks))


def tick_off_button(speech: Speech) -> str:
    """Return the text of the button that ticks off."""
    return speech.say_in("button", "Tick off")


def tomorrow_button(speech: Speech) -> str:
    """Return the text of the button that reminds again tomorrow."""
    return speech.say_in("button", "Tomorrow")


def _when(speech: Speech, task: Reminded, today: date) -> str:
    days = (today - task.due_on).days
    if task.status is Status.OVERDUE:
        return speech.say_count(
            "Overdue: it was due {n} day ago.", "Overdue: it was due {n} days ago.", days
        )
    if task.status is Status.LATE:
        return speech.say_count(
            "Late: it was due {n} day ago.", "Late: it was due {n} days ago.", days
        )
    return speech.say("Due {day}.", day=relative_day(speech, task.due_on, today))


def _named(speech: Speech, tasks: Sequence[Reminded]) -> str:
    titles = list(dict.fromkeys(one_line(task.title, 60) for task in tasks))
    shown, rest = titles[:MOST_NAMED], len(titles) - MOST_NAMED
    if rest <= 0:
        return all_of(speech, shown)
    more = speech.say_count("{n} more", "{n} more", rest)
    return all_of(speech, [*shown, more])
