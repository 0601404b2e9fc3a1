"""Which reminders an occurrence calls for: ahead, on the day, and late with growing gaps."""

from __future__ import annotations

from datetime import time, timedelta
from typing import TYPE_CHECKING

from tubcare.reminders.hours import morning
from tubcare.services.moments import local_instant
from tubcare.services.outbox import Reminder, ReminderKey

if TYPE_CHECKING:
    from datetime import date, datetime

    from tubcare.care.model import Occurrence, Task
    from tubcare.services.household import Person

# Days behind the time to be on time: each gap is about twice the one before.
LATE_AFTER_DAYS = (1, 3, 7, 14, 28, 56)
EVENING = time(17, 30)


def is_urgent(task: Task) -> bool:
    """Return whether a task's reminders pass quiet hours and weekends: frost and protection."""
    return task.no_grace or task.safety


def reminders_of(task: Task, each: Occurrence, person: Person, zone: str) -> tuple[Reminder, ...]:
    """Return every reminder of one occurrence, in the order of their instants.

    An occurrence that was put off is reminded of anew, so its steps carry the number of put-offs.
    """
    urgent = is_urgent(task)
    mark = f".p{each.put_offs}" if each.put_offs else ""

    def at_morning(step: str, day: date) -> Reminder:
        return _reminder(each, step + mark, morning(person, day, zone, urgent=urgent))

    found = []
    if task.lead_days:
        found.append(at_morning("lead", each.due_on - timedelta(days=task.lead_days)))
    found.append(at_morning("due", each.due_on))
    if not task.cosmetic:
        evening = local_instant(each.due_on, EVENING, zone)
        found.append(_reminder(each, "evening" + mark, evening))
        if each.late_after is not None:
            found += [
                at_morning(f"late{days}", each.late_after + timedelta(days=days))
                for days in LATE_AFTER_DAYS
            ]
    return tuple(found)


def _reminder(each: Occurrence, step: str, due_at: datetime) -> Reminder:
    key = ReminderKey(task=each.task_id, key=each.key, step=step)
    return Reminder(key=key, due_at=due_at)
