"""What ought to be shown, worked out beside the program: sets in memory in place of rows.

It is told of every look, kill and answer, and says which reminders the next look has to show. Only
the calendar (which steps an occurrence has, and what holds them back) is the program's own; other
tests hold that against dates written by hand.
"""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.care.model import NO_FACTS, Status
from tubcare.reminders.hours import Weight, is_held
from tubcare.reminders.steps import Place, belongs, reminders_of, weight_of
from tubcare.services.desk import HOME_ZONE, setting
from tubcare.services.facts import read_plan
from tubcare.services.household import people
from tubcare.services.reminder_rows import LEASE, LONGEST_LEASE, ReminderKey
from tubcare.services.week import due_items

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from tubcare.services.desk import Desk
    from tubcare.services.week import DueItem
    from tubcare.values import TaskId


ASKED_FOR_STAYS = timedelta(days=60)


class OutboxModel:
    """Keeps what was told, given way or claimed, for one person."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._over: set[ReminderKey] = set()
        self._claims: dict[ReminderKey, datetime] = {}
        self._again: dict[ReminderKey, datetime] = {}
        self._wanted: dict[ReminderKey, datetime] = {}
        self.items: dict[TaskId, DueItem] = {}
        self.told: Counter[ReminderKey] = Counter()

    def expected(self) -> set[ReminderKey]:
        """Return what a look has to show now; what gives way to it is over."""
        now = self._desk.now()
        weights = self._read()
        person = people(self._desk)[0]
        ready = {key: at for key, at in self._wanted.items() if at <= now and self._is_free(key)}
        with self._desk.read() as connection:
            zone = ZoneInfo(setting(connection, HOME_ZONE) or "UTC")
        free = [key for key in ready if not is_held(person, now, zone, weights[key])]
        newest: dict[TaskId, ReminderKey] = {}
        for key in sorted(free, key=lambda k: (ready[k], k)):
            newest[key.task] = key
        for key, due_at in ready.items():
            first = newest.get(key.task)
            if first is not None and (due_at, key) < (ready[first], first):
                self._over.add(key)
                self._claims.pop(key, None)
        return set(newest.values())

    def stands(self, key: ReminderKey) -> bool:
        """Return whether a reminder is about something still to be done."""
        return key in self._wanted

    def showed(self, keys: Iterable[ReminderKey]) -> None:
        """Hear what came to the screen."""
        self.told.update(keys)

    def marked(self, keys: Iterable[ReminderKey]) -> None:
        """Hear what was shown and marked."""
        self._over.update(keys)

    def claimed(self, keys: Iterable[ReminderKey], at: datetime) -> None:
        """Hear that a program claimed reminders and never marked them."""
        self._claims.update(dict.fromkeys(keys, at + LEASE))

    def asked_again(self, told: ReminderKey, again: ReminderKey, at: datetime) -> None:
        """Hear that a person wants to be reminded again."""
        for key, due_at in self._wanted.items():
            same = (key.task, key.key) == (told.task, told.key)
            if same and due_at < at and key not in self._claims:
                self._over.add(key)
        self._again[again] = at
        self._over.discard(again)

    def _is_free(self, key: ReminderKey) -> bool:
        if key in self._over:
            return False
        until = self._claims.get(key)
        now = self._desk.now()
        return until is None or until <= now or until > now + LONGEST_LEASE

    def _read(self) -> dict[ReminderKey, Weight]:
        now = self._desk.now()
        person = people(self._desk)[0]
        with self._desk.read() as connection:
            plan = read_plan(connection, now)
            home = setting(connection, HOME_ZONE) or "UTC"
        tasks = {task.id: task for task in plan.tasks}
        self.items = {
            item.task: item
            for item in due_items(self._desk, plan)
            if item.occurrence.status is not Status.ASLEEP
        }
        self._wanted = {}
        for item in self.items.values():
            place = Place(person=person, home_zone=home, tub_zone=plan.tubs[item.tub].zone)
            facts = plan.facts.get(item.task, NO_FACTS)
            for each in reminders_of(tasks[item.task], item.occurrence, facts, place):
                self._wanted[each.key] = each.due_at
            for key, at in self._again.items():
                if belongs(key, item.occurrence):
                    self._wanted[key] = at
        self._again = {
            key: at
            for key, at in self._again.items()
            if key in self._wanted or at > now - ASKED_FOR_STAYS
        }
        return {key: weight_of(tasks[key.task], key) for key in self._wanted}
