"""Delivers reminders: plans, claims what is due, shows it, marks it; withdraws what was done."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Protocol
from zoneinfo import ZoneInfo

from tubcare.errors import NotFoundError
from tubcare.reminders.hours import is_quiet, morning, quiet_ends
from tubcare.reminders.steps import is_urgent, reminders_of
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.facts import read_plan
from tubcare.services.household import Person, people
from tubcare.services.outbox import (
    ReminderKey,
    claim,
    mark_shown,
    plan_reminders,
    remind_again,
)
from tubcare.services.week import DueItem, due_items

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from tubcare.services.desk import Desk
    from tubcare.services.facts import Plan
    from tubcare.services.outbox import Reminder
    from tubcare.values import TaskId

HORIZON = timedelta(days=60)
MOST_AT_ONCE = 3
BEAT = timedelta(seconds=60)


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One notification: a single task with its buttons, or a digest of several.

    `tag` stays the same when the same note has to be shown again, so that it replaces itself.
    """

    tag: str
    items: tuple[DueItem, ...]
    keys: tuple[ReminderKey, ...]

    @property
    def is_digest(self) -> bool:
        """Whether it tells of several tasks."""
        return len(self.items) > 1


class Notifier(Protocol):
    """Shows a note to the person."""

    def show(self, note: Note) -> None:
        """Show a note; one with the same tag replaces the earlier one."""
        ...

    def withdraw(self, tags: Iterable[str]) -> None:
        """Take away notes whose work was done elsewhere."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """What one look at the reminders did, and when to look again at the latest."""

    shown: tuple[Note, ...]
    next_look: datetime


class Post:
    """Looks after the reminders of one person on this device.

    Parameters
    ----------
    desk
        The open logbook.
    recipient
        Name of the person chosen on this device.
    owner
        A name for this running program, told apart from every other.
    notifier
        What shows notes.
    """

    def __init__(self, desk: Desk, recipient: str, owner: str, notifier: Notifier) -> None:
        self._desk = desk
        self._recipient = recipient
        self._owner = owner
        self._notifier = notifier

    def look(self) -> Round:
        """Plan anew, then show what is due; safe to call at any time and from several programs.

        Raises
        ------
        NotFoundError
            When the logbook does not know the recipient.
        """
        person = self._person()
        now = self._desk.now()
        with self._desk.read() as connection:
            plan = read_plan(connection, now)
            zone = ZoneInfo(setting(connection, HOME_ZONE) or "UTC")
        items = {item.task: item for item in due_items(self._desk, plan)}
        planned = plan_reminders(
            self._desk, self._recipient, self._wanted(plan, items, person, now)
        )
        self._notifier.withdraw(_tag((key,)) for key in planned.withdrawn)
        quiet = is_quiet(person, now, zone)
        urgent = [task.id for task in plan.tasks if is_urgent(task)]
        ready = claim(self._desk, self._recipient, self._owner, tasks=urgent if quiet else None)
        notes = _notes(ready, items)
        for note in notes:
            self._notifier.show(note)
            mark_shown(self._desk, self._recipient, self._owner, note.keys)
        return Round(shown=notes, next_look=_next_look(planned.next_at, now, person, zone))

    def tomorrow(self, keys: Iterable[ReminderKey]) -> None:
        """Remind of the same occurrences again tomorrow morning."""
        person = self._person()
        with self._desk.read() as connection:
            zone = setting(connection, HOME_ZONE) or "UTC"
        day = self._desk.now().astimezone(ZoneInfo(zone)).date() + timedelta(days=1)
        for key in keys:
            remind_again(self._desk, self._recipient, key, morning(person, day, zone, urgent=True))

    def _person(self) -> Person:
        for person in people(self._desk):
            if person.name == self._recipient and person.active:
                return person
        raise NotFoundError("person", self._recipient)

    def _wanted(
        self, plan: Plan, items: dict[TaskId, DueItem], person: Person, now: datetime
    ) -> list[Reminder]:
        wanted: list[Reminder] = []
        for task in plan.tasks:
            item = items.get(task.id)
            if item is None or not plan.reminds.get(task.id, True) or _is_asleep(item):
                continue
            zone = plan.tubs[task.tub_id].zone
            wanted += [
                reminder
                for reminder in reminders_of(task, item.occurrence, person, zone)
                if reminder.due_at <= now + HORIZON
            ]
        return wanted


def _is_asleep(item: DueItem) -> bool:
    return item.occurrence.status.value == "asleep"


def _notes(ready: tuple[Reminder, ...], items: dict[TaskId, DueItem]) -> tuple[Note, ...]:
    told = [r for r in ready if r.key.task in items]
    if len(told) > MOST_AT_ONCE:
        keys = tuple(r.key for r in told)
        return (Note(tag="digest", items=tuple(items[k.task] for k in keys), keys=keys),)
    return tuple(Note(tag=_tag((r.key,)), items=(items[r.key.task],), keys=(r.key,)) for r in told)


def _tag(keys: tuple[ReminderKey, ...]) -> str:
    text = "|".join(f"{k.task}:{k.key}" for k in keys)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _next_look(
    next_at: datetime | None, now: datetime, person: Person, zone: ZoneInfo
) -> datetime:
    if is_quiet(person, now, zone):
        return min(quiet_ends(person, now, zone), now + timedelta(hours=1))
    latest = now + timedelta(hours=1)
    return latest if next_at is None else max(now, min(next_at, latest))
