"""Which reminders an occurrence calls for: ahead, on the day, and late with growing gaps."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from tubcare.reminders.hours import Weight, evening, home_day, morning
from tubcare.services.reminder_rows import Reminder, ReminderKey

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from tubcare.care.model import Occurrence, Task, TaskFacts
    from tubcare.services.household import Person

# Days behind the last day to be on time: each gap is about twice the one before.
LATE_AFTER_DAYS = (1, 3, 7, 14, 28, 56)
# The nudge is worth it only some time after the morning's reminder.
NUDGE_GAP = timedelta(hours=2)
EVENING = "evening"
AGAIN = "again"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Whose clocks count: the person's at home, and the tub's for the date."""

    person: Person
    home_zone: str
    tub_zone: str


def is_urgent(task: Task) -> bool:
    """Return whether a task's reminders pass quiet hours and weekends: frost and protection."""
    return task.no_grace or task.safety


def weight_of(task: Task, key: ReminderKey) -> Weight:
    """Return what may hold a reminder back."""
    if is_urgent(task):
        return Weight.URGENT
    return Weight.ASKED_FOR if is_asked_for(key) else Weight.USUAL


def reminders_of(
    task: Task, each: Occurrence, facts: TaskFacts, place: Place
) -> tuple[Reminder, ...]:
    """Return every reminder of one occurrence, in the order of their instants.

    An occurrence that was put off is reminded of anew, so its steps carry the number of put-offs.
    The reminder ahead is left out when its day is not after the last work or the put-off: the
    person has just had the task in hand.
    """
    weight = Weight.URGENT if is_urgent(task) else Weight.USUAL
    mark = mark_of(each)

    def at_morning(step: str, day: date) -> Reminder:
        here = home_day(place.person, day, place.tub_zone, place.home_zone)
        at = morning(place.person, here, place.home_zone, weight=weight)
        return Reminder(key=_key(each, step + mark), due_at=at)

    found: list[Reminder] = []
    ahead = each.due_on - timedelta(days=task.lead_days)
    if ahead < each.due_on and all(day < ahead for day in _handled(facts)):
        found.append(at_morning("lead", ahead))
    due = at_morning("due", each.due_on)
    found.append(due)
    if task.cosmetic:
        return tuple(found)
    here = home_day(place.person, each.due_on, place.tub_zone, place.home_zone)
    nudge = evening(place.person, here, place.home_zone, weight=weight)
    if nudge >= due.due_at + NUDGE_GAP:
        found.append(Reminder(key=_key(each, EVENING + mark), due_at=nudge))
    if each.late_after is not None:
        found += [
            at_morning(f"late{days}", each.late_after + timedelta(days=days))
            for days in LATE_AFTER_DAYS
        ]
    return tuple(found)


def mark_of(each: Occurrence) -> str:
    """Return what the steps of an occurrence end with: which put-off they belong to."""
    return f".p{each.put_offs}" if each.put_offs else ""


def again_key(key: ReminderKey, day: date) -> ReminderKey:
    """Return the key of one more reminder of the same occurrence on a day."""
    _name, dot, mark = key.step.partition("@")[0].partition(".")
    return ReminderKey(task=key.task, key=key.key, step=f"{AGAIN}{dot}{mark}@{day:%Y%m%d}")


def is_asked_for(key: ReminderKey) -> bool:
    """Return whether a person asked for this reminder."""
    return key.step.startswith(AGAIN)


def belongs(key: ReminderKey, each: Occurrence) -> bool:
    """Return whether a reminder that a person asked for is about this occurrence as it stands."""
    if (key.task, key.key) != (each.task_id, each.key):
        return False
    return key.step.partition("@")[0] == AGAIN + mark_of(each)


def is_nudge(key: ReminderKey) -> bool:
    """Return whether a reminder is the nudge on the evening of the day."""
    return key.step.startswith(EVENING)


def _handled(facts: TaskFacts) -> Iterable[date]:
    if facts.closing is not None:
        yield facts.closing.on
    if facts.put_offs:
        yield facts.put_offs[-1].made_on


def _key(each: Occurrence, step: str) -> ReminderKey:
    return ReminderKey(task=each.task_id, key=each.key, step=step)
