"""When a person may be reminded: quiet hours, weekends, clock changes."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from tubcare.services.household import Weekends
from tubcare.services.moments import local_instant

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from tubcare.services.household import Person

SATURDAY = 5
LATER_MINUTES = 120


def is_quiet(person: Person, now: datetime, zone: ZoneInfo) -> bool:
    """Return whether `now` lies in the person's quiet hours, by the wall clock."""
    local = now.astimezone(zone)
    minute = local.hour * 60 + local.minute
    start, end = person.quiet_from_minute, person.quiet_to_minute
    if start == end:
        return False
    if start < end:
        return start <= minute < end
    return minute >= start or minute < end


def quiet_ends(person: Person, now: datetime, zone: ZoneInfo) -> datetime:
    """Return the first whole minute from `now` on that is not quiet.

    Steps by minutes of real time, since clock changes make closed forms wrong.
    """
    at = now
    if is_quiet(person, at, zone):
        at = at.replace(second=0, microsecond=0) + timedelta(minutes=1)
    while is_quiet(person, at, zone):
        at += timedelta(minutes=1)
    return at


def morning(person: Person, day: date, zone: str, *, urgent: bool) -> datetime:
    """Return the instant of the morning digest that covers `day`.

    Weekends follow the person's rule unless the matter is urgent.
    """
    minute = person.digest_minute
    if day.weekday() >= SATURDAY and not urgent:
        if person.weekends is Weekends.LATER:
            minute = min(minute + LATER_MINUTES, 24 * 60 - 1)
        elif person.weekends is Weekends.SILENT:
            day += timedelta(days=7 - day.weekday())
    return local_instant(day, time(minute // 60, minute % 60), zone)
