"""When a person may be reminded: quiet hours, weekends, clock changes."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from enum import Enum, auto
from typing import TYPE_CHECKING

from tubcare.services.household import Weekends
from tubcare.services.moments import local_instant, start_of

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from tubcare.services.household import Person

SATURDAY = 5
LATER_MINUTES = 120
LAST_MINUTE = 24 * 60 - 1
EVENING_MINUTE = 17 * 60 + 30


class Weight(Enum):
    """What may hold a reminder back: everything, quiet hours alone, or nothing."""

    USUAL = auto()
    ASKED_FOR = auto()
    URGENT = auto()


def is_held(person: Person, now: datetime, zone: ZoneInfo, weight: Weight = Weight.USUAL) -> bool:
    """Return whether a reminder has to wait at `now`, by the wall clock in `zone`.

    The weekend rule holds what nobody asked for: all of Saturday and Sunday, or their mornings.
    """
    if weight is Weight.URGENT:
        return False
    local = now.astimezone(zone)
    minute = local.hour * 60 + local.minute
    if _is_between(minute, person.quiet_from_minute, person.quiet_to_minute):
        return True
    if weight is Weight.ASKED_FOR or local.weekday() < SATURDAY:
        return False
    if person.weekends is Weekends.SILENT:
        return True
    return person.weekends is Weekends.LATER and minute < _later(person)


def held_until(
    person: Person,
    now: datetime,
    zone: ZoneInfo,
    weight: Weight = Weight.USUAL,
    latest: datetime | None = None,
) -> datetime:
    """Return the first instant from `now` on that does not hold, on a whole minute if later.

    Steps by minutes of real time, since clock changes make closed forms wrong; looks no further
    than `latest`.
    """
    at = now
    while is_held(person, at, zone, weight) and (latest is None or at < latest):
        at = at.replace(second=0, microsecond=0) + timedelta(minutes=1)
    return at


def morning(person: Person, day: date, zone: str, *, weight: Weight = Weight.USUAL) -> datetime:
    """Return the instant of the morning digest that covers `day` of the person's calendar.

    Weekends follow the person's rule, for usual reminders.
    """
    minute = person.digest_minute
    if weight is Weight.USUAL:
        day = _workday(person, day)
        if day.weekday() >= SATURDAY and person.weekends is Weekends.LATER:
            minute = _later(person)
    return local_instant(day, _time(minute), zone)


def evening(person: Person, day: date, zone: str, *, weight: Weight = Weight.USUAL) -> datetime:
    """Return the instant of the evening nudge of `day`, moved as the morning is."""
    if weight is Weight.USUAL:
        day = _workday(person, day)
    return local_instant(day, _time(EVENING_MINUTE), zone)


def home_day(person: Person, day: date, zone: str, home_zone: str) -> date:
    """Return the person's day on whose morning it is `day`, or later, where the tub stands.

    It is the same date unless the tub lies many hours west of the person.
    """
    if morning(person, day, home_zone, weight=Weight.URGENT) >= start_of(day, zone):
        return day
    return day + timedelta(days=1)


def _is_between(minute: int, start: int, end: int) -> bool:
    if start <= end:
        return start <= minute < end
    return minute >= start or minute < end


def _workday(person: Person, day: date) -> date:
    if person.weekends is Weekends.SILENT and day.weekday() >= SATURDAY:
        return day + timedelta(days=7 - day.weekday())
    return day


def _later(person: Person) -> int:
    return min(person.digest_minute + LATER_MINUTES, LAST_MINUTE)


def _time(minute: int) -> time:
    return time(minute // 60, minute % 60)
