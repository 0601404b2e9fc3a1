"""When something happened: a date that a person wrote, as an instant."""

from __future__ import annotations

from datetime import UTC, datetime, time
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tubcare.errors import InputError
from tubcare.services.fields import not_after

if TYPE_CHECKING:
    from datetime import date

    from tubcare.services.desk import Desk

NOON = time(12)


def local_instant(on: date, at: time, zone: str) -> datetime:
    """Return a local date and time as an instant in UTC.

    A time that a clock change leaves out moves past the gap; one that comes twice is the first.
    """
    local = datetime.combine(on, at, ZoneInfo(zone))
    return local.astimezone(UTC)


def happened_at(desk: Desk, zone: str, on: date | None) -> tuple[date, datetime]:
    """Return the local date and the instant of something done: now, or noon of an earlier day.

    Raises
    ------
    InputError
        When the date is yet to come.
    """
    today = desk.today(zone)
    actual_today = desk.clock.now().astimezone(ZoneInfo(zone)).date()
    day = today if on is None else not_after("date", on, max(today, actual_today))
    if day == actual_today:
        return day, desk.clock.now()
    return day, local_instant(day, NOON, zone)


def moment_of(desk: Desk, zone: str, on: date | None, at: time | None) -> datetime:
    """Return the instant of something done on a local day at a local time.

    Without a day it was now, without a time as `happened_at` says.

    Raises
    ------
    InputError
        When that day or time is yet to come.
    """
    day, instant = happened_at(desk, zone, on)
    if on is None or at is None:
        return instant
    moment = local_instant(day, at, zone)
    if moment > desk.clock.now():
        raise InputError("time of day", "that time is yet to come; leave it empty for now")
    return moment


def start_of(on: date, zone: str) -> datetime:
    """Return the instant at which a local day begins."""
    return local_instant(on, time(0), zone)
