"""Quiet hours by the wall clock, on days when it changes, in both hemispheres.

The zones' changes come from the IANA time zone database through `zoneinfo`.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from tubcare.reminders.hours import Weight, evening, held_until, home_day, is_held, morning
from tubcare.services.household import Person, Weekends
from tubcare.values import PersonId

# A day of change each: spring and autumn, north and south, half an hour, and a whole day left out.
CHANGES = [
    ("Europe/Berlin", datetime(2026, 3, 29, 1, tzinfo=UTC)),
    ("Europe/Berlin", datetime(2026, 10, 25, 1, tzinfo=UTC)),
    ("America/New_York", datetime(2026, 3, 8, 7, tzinfo=UTC)),
    ("America/New_York", datetime(2026, 11, 1, 6, tzinfo=UTC)),
    ("Australia/Sydney", datetime(2026, 4, 4, 16, tzinfo=UTC)),
    ("Australia/Sydney", datetime(2026, 10, 3, 16, tzinfo=UTC)),
    ("America/Santiago", datetime(2026, 9, 6, 4, tzinfo=UTC)),
    ("Australia/Lord_Howe", datetime(2026, 4, 4, 15, tzinfo=UTC)),
    ("Pacific/Apia", datetime(2011, 12, 30, 10, tzinfo=UTC)),
]
minutes = st.integers(0, 24 * 60 - 1)
changes = st.sampled_from(CHANGES)
near = st.integers(-36 * 3600, 36 * 3600).map(lambda s: timedelta(seconds=s))


def person(quiet: tuple[int, int], weekends: Weekends, digest: int = 480) -> Person:
    return Person(
        id=PersonId(1),
        name="Ann",
        active=True,
        digest_minute=digest,
        quiet_from_minute=quiet[0],
        quiet_to_minute=quiet[1],
        weekends=weekends,
    )


people = st.builds(person, st.tuples(minutes, minutes), st.sampled_from(Weekends), minutes)


@given(people, changes, near, st.sampled_from(Weight))
def test_a_reminder_waits_for_the_first_minute_that_may_be(
    who: Person, change: tuple[str, datetime], offset: timedelta, weight: Weight
) -> None:
    zone = ZoneInfo(change[0])
    now = change[1] + offset
    free = held_until(who, now, zone, weight)
    assert not is_held(who, free, zone, weight)
    assert free >= now
    if free > now:
        assert (free.second, free.microsecond) == (0, 0)
        assert is_held(who, free - timedelta(minutes=1), zone, weight)


@given(people, changes, near, near)
def test_waiting_keeps_the_order(
    who: Person, change: tuple[str, datetime], one: timedelta, other: timedelta
) -> None:
    zone = ZoneInfo(change[0])
    first, second = sorted((change[1] + one, change[1] + other))
    assert held_until(who, first, zone) <= held_until(who, second, zone)


@given(people, changes, near)
def test_quiet_hours_are_what_the_wall_clock_shows(
    who: Person, change: tuple[str, datetime], offset: timedelta
) -> None:
    now = change[1] + offset
    zone = ZoneInfo(change[0])
    local = now.astimezone(zone)
    shown = local.hour * 60 + local.minute
    # Walk the dial from the start of the quiet hours and see which comes first.
    since = (shown - who.quiet_from_minute) % 1440
    lasts = (who.quiet_to_minute - who.quiet_from_minute) % 1440
    assert is_held(who, now, zone, Weight.ASKED_FOR) == (since < lasts)


@given(people, changes, near)
def test_what_is_urgent_never_waits(
    who: Person, change: tuple[str, datetime], offset: timedelta
) -> None:
    assert held_until(who, change[1] + offset, ZoneInfo(change[0]), Weight.URGENT) == (
        change[1] + offset
    )


@given(people, changes, st.integers(-3, 3))
def test_every_day_has_its_morning_on_that_day_or_the_monday_after(
    who: Person, change: tuple[str, datetime], days: int
) -> None:
    zone = change[0]
    day = (change[1] + timedelta(days=days)).astimezone(ZoneInfo(zone)).date()
    at = morning(who, day, zone).astimezone(ZoneInfo(zone)).date()
    # A whole day that a zone left out has its morning on the next.
    wait = (at - day).days
    assert 0 <= wait <= 3
    if who.weekends is Weekends.SILENT and zone != "Pacific/Apia":
        assert at.weekday() < 5


def test_a_spring_morning_that_does_not_exist_comes_an_hour_later() -> None:
    early = person((0, 0), Weekends.AS_USUAL, digest=150)
    at = morning(early, date(2026, 3, 29), "Europe/Berlin")
    assert at.astimezone(ZoneInfo("Europe/Berlin")).isoformat() == "2026-03-29T03:30:00+02:00"


def test_an_autumn_morning_that_comes_twice_is_the_first() -> None:
    early = person((0, 0), Weekends.AS_USUAL, digest=150)
    at = morning(early, date(2026, 10, 25), "Europe/Berlin")
    assert at == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)


def test_the_evening_of_a_silent_weekend_is_mondays() -> None:
    who = person((0, 0), Weekends.SILENT)
    at = evening(who, date(2026, 5, 9), "Europe/Berlin")
    assert at == datetime(2026, 5, 11, 15, 30, tzinfo=UTC)


def test_the_same_date_counts_unless_the_tub_lies_far_west() -> None:
    who, day = person((0, 0), Weekends.AS_USUAL), date(2026, 5, 9)
    assert home_day(who, day, "America/New_York", "Europe/Helsinki") == day
    assert home_day(who, day, "Europe/Helsinki", "America/New_York") == day
    assert home_day(who, day, "Pacific/Honolulu", "Pacific/Kiritimati") == date(2026, 5, 10)
