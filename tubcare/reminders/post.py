"""Delivers reminders: plans, claims what is due, shows it, marks it; withdraws what was done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.care.model import NO_FACTS, Status
from tubcare.errors import NotFoundError
from tubcare.reminders.hours import Weight, held_until, is_held, morning
from tubcare.reminders.notes import Note, Notifier, arrange, covered
from tubcare.reminders.session import OnScreen
from tubcare.reminders.steps import (
    Place,
    again_key,
    belongs,
    is_asked_for,
    is_urgent,
    reminders_of,
    weight_of,
)
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.facts import read_plan
from tubcare.services.household import Person, people
from tubcare.services.outbox import Claim, claim, mark_shown, remind_again, waiting
from tubcare.services.reminder_plan import plan_reminders
from tubcare.services.week import due_items

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import datetime

    from tubcare.care.model import Task
    from tubcare.services.desk import Desk
    from tubcare.services.facts import Plan
    from tubcare.services.reminder_rows import Reminder, ReminderKey
    from tubcare.services.week import DueItem
    from tubcare.values import TaskId

# Plans are made at least once an hour while the program runs: far steps need no rows yet.
HORIZON = timedelta(days=14)
# Undo reaches back; so long a reminder that was asked for outlives the work it was about.
ASKED_FOR_STAYS = timedelta(days=60)
LONGEST_REST = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """What one look at the reminders showed, and when to look again at the latest."""

    shown: tuple[Note, ...]
    next_look: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """What a look found in the logbook; nothing of it was shown yet."""

    claim: Claim
    items: Mapping[TaskId, DueItem]
    urgent: frozenset[TaskId]
    standing: frozenset[ReminderKey]
    next_look: datetime

    def stands(self, key: ReminderKey) -> bool:
        """Return whether a reminder is still about something to be done."""
        return key in self.standing or _is_about(key, self.items)


class Post:
    """Looks after the reminders of one person on this device.

    `look` does all. In a window, `gather` runs where the logbook is read, and `hand_over` where
    notes are shown.

    Parameters
    ----------
    desk
        The open logbook.
    recipient
        Name of the person chosen on this device.
    owner
        A name for this running program, told apart from every other, at most 80 characters.
    notifier
        What shows notes.
    on_screen
        What the device remembers of earlier notes.
    """

    def __init__(
        self,
        desk: Desk,
        recipient: str,
        owner: str,
        notifier: Notifier,
        on_screen: OnScreen | None = None,
    ) -> None:
        self._desk = desk
        self._recipient = recipient
        self._owner = owner
        self._notifier = notifier
        self._on_screen = on_screen or OnScreen()
        self._unmarked: list[ReminderKey] = []

    def look(self) -> Delivery:
        """Plan anew, then show what is due; safe to call at any time and from several programs.

        Raises
        ------
        NotFoundError
            When the logbook does not know the recipient.
        StoreError
            When the logbook cannot be read or written; what was not shown comes at a later look.
        """
        return self.hand_over(self.gather())

    def gather(self) -> Gathered:
        """Plan anew and claim what may be shown now; uses the logbook alone. Raises as `look`."""
        now = self._desk.clock.now()
        person = self._person()
        with self._desk.read() as connection:
            plan = read_plan(connection, now)
            home_zone = setting(connection, HOME_ZONE) or "UTC"
        tasks = {task.id: task for task in plan.tasks if plan.reminds.get(task.id, True)}
        items = {
            item.task: item
            for item in due_items(self._desk, plan)
            if item.task in tasks and item.occurrence.status is not Status.ASLEEP
        }
        wanted = _wanted(plan, tasks, items, person, home_zone)
        wanted = [each for each in wanted if each.due_at <= now + HORIZON]
        plan_reminders(
            self._desk,
            self._recipient,
            wanted,
            # Undo may bring an occurrence back, and with it what the person asked for.
            lambda each: is_asked_for(each.key) and each.due_at > now - ASKED_FOR_STAYS,
        )
        standing = frozenset(each.key for each in wanted)
        zone = ZoneInfo(home_zone)
        found = waiting(self._desk, self._recipient)
        weights = {
            each.key: weight_of(tasks[each.key.task], each.key)
            for each in found.ready
            if each.key in standing or _is_about(each.key, items)
        }
        held = {weight for weight in Weight if is_held(person, now, zone, weight)}
        free = [key for key, weight in weights.items() if weight not in held]
        looks = [now + LONGEST_REST, found.next_at or now + LONGEST_REST]
        looks += [held_until(person, now, zone, weight) for weight in held & set(weights.values())]
        return Gathered(
            claim=claim(self._desk, self._recipient, self._owner, free),
            items=items,
            urgent=frozenset(task.id for task in tasks.values() if is_urgent(task)),
            standing=standing,
            next_look=min(looks),
        )

    def hand_over(self, gathered: Gathered) -> Delivery:
        """Take away what is done with, show what was claimed and mark it as shown."""
        self._mark()
        self._put_away(
            tag
            for tag, keys in self._on_screen.notes.items()
            if not any(gathered.stands(key) for key in keys)
        )
        if self._desk.clock.now() >= gathered.claim.until:
            # The computer slept in between: by now the claim may be another device's.
            return Delivery(shown=(), next_look=self._desk.clock.now())
        ready = [each for each in gathered.claim.reminders if gathered.stands(each.key)]
        notes = arrange(ready, gathered.items, gathered.urgent, self._on_screen.notes)
        for note in notes:
            replaced = covered(note, self._on_screen.notes)
            self._on_screen.put(note.tag, note.keys)
            self._notifier.show(note)
            self._unmarked += note.keys
            self._mark()
            self._put_away(replaced)
        return Delivery(shown=notes, next_look=gathered.next_look)

    def keys_of(self, tag: str) -> tuple[ReminderKey, ...]:
        """Return the reminders of a note on the screen; none when it is not known (any more)."""
        return self._on_screen.notes.get(tag, ())

    def tomorrow(self, keys: Iterable[ReminderKey]) -> None:
        """Remind of the same occurrences tomorrow morning, and not before."""
        keys = tuple(keys)
        person = self._person()
        with self._desk.read() as connection:
            zone = setting(connection, HOME_ZONE) or "UTC"
        day = self._desk.clock.now().astimezone(ZoneInfo(zone)).date() + timedelta(days=1)
        at = morning(person, day, zone, weight=Weight.ASKED_FOR)
        again = {again_key(key, day) for key in keys}
        remind_again(self._desk, self._recipient, again, at)
        put_off = {(key.task, key.key) for key in keys}
        self._put_away(
            tag
            for tag, told in self._on_screen.notes.items()
            if all((key.task, key.key) in put_off for key in told)
        )

    def _put_away(self, tags: Iterable[str]) -> None:
        away = tuple(tags)
        if away:
            self._notifier.withdraw(away)
            self._on_screen.drop(away)

    def _mark(self) -> None:
        """Mark what was shown, also what a busy logbook refused to mark before."""
        if self._unmarked:
            mark_shown(self._desk, self._recipient, self._owner, self._unmarked)
            self._unmarked.clear()

    def _person(self) -> Person:
        for person in people(self._desk):
            if person.name == self._recipient and person.active:
                return person
        raise NotFoundError("person", self._recipient)


def _is_about(key: ReminderKey, items: Mapping[TaskId, DueItem]) -> bool:
    """Return whether a reminder was asked for, of an occurrence that is still open."""
    item = items.get(key.task)
    return item is not None and belongs(key, item.occurrence)


def _wanted(
    plan: Plan,
    tasks: Mapping[TaskId, Task],
    items: Mapping[TaskId, DueItem],
    person: Person,
    home_zone: str,
) -> list[Reminder]:
    wanted: list[Reminder] = []
    for item in items.values():
        place = Place(person=person, home_zone=home_zone, tub_zone=plan.tubs[item.tub].zone)
        facts = plan.facts.get(item.task, NO_FACTS)
        wanted += reminders_of(tasks[item.task], item.occurrence, facts, place)
    return wanted
