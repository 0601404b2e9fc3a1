from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from tests.reminders.times import FRIDAY, HOME, MONDAY, SATURDAY, SUNDAY, at, looked, once, tick
from tests.support.plans import add_task
from tubcare.services.household import (
    Weekends,
    change_person,
    people,
)
from tubcare.services.outbox import waiting
from tubcare.services.upkeep_put_off import put_off

if TYPE_CHECKING:
    from tests.reminders.screens import Screen
    from tests.support.clocks import StillClock
    from tubcare.reminders.post import Post
    from tubcare.services.desk import Desk
    from tubcare.values import TubId


def weekends(desk: Desk, rule: Weekends) -> None:
    change_person(desk, replace(people(desk)[0], weekends=rule))


def walk(
    post: Post, screen: Screen, clock: StillClock, until: date
) -> list[tuple[date, int, list[str]]]:
    """Follow the post's own wake-ups; return day, hour and steps of each note."""
    seen = []
    end = datetime(until.year, until.month, until.day, tzinfo=UTC)
    while clock.at < end:
        delivery = post.look()
        local = clock.at.astimezone(HOME)
        seen += [(local.date(), local.hour, steps) for steps in screen.steps()]
        assert delivery.next_look > clock.at
        assert delivery.next_look <= clock.at + timedelta(hours=1)
        clock.at = delivery.next_look
    return seen


def until_quiet(
    desk: Desk, post: Post, screen: Screen, clock: StillClock
) -> list[tuple[date, list[str]]]:
    """Look whenever a reminder is to come, until none is; return day and steps of each note."""
    seen: list[tuple[date, list[str]]] = []
    for _ in range(30):
        steps = looked(post, screen)
        seen += [(clock.at.astimezone(HOME).date(), each) for each in steps]
        # What lies beyond the horizon is planned on the way there.
        clock.at = waiting(desk, "Ann").next_at or clock.at + timedelta(days=10)
    return seen


def test_one_task_is_told_ahead_on_its_day_and_late_with_growing_gaps(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    once(desk, tub, FRIDAY, rules={"lead_days": 3})
    told = until_quiet(desk, post, screen, clock)
    assert told[:3] == [
        (date(2026, 5, 5), ["lead"]),
        (FRIDAY, ["due"]),
        (FRIDAY, ["evening"]),
    ]
    late = [day for day, _steps in told[3:]]
    gaps = [(b - a).days for a, b in pairwise(late)]
    assert gaps == [2, 4, 7, 14, 28]


def test_the_morning_has_one_digest(desk: Desk, tub: TubId, post: Post, clock: StillClock) -> None:
    for title in ("Wash the lid", "Rinse the filter", "Test the water", "Read the meter"):
        once(desk, tub, FRIDAY, title)
    at(clock, FRIDAY, 8)
    delivery = post.look()
    assert [len(note.items) for note in delivery.shown] == [4]
    assert delivery.shown[0].is_digest


def test_nudges_for_few_tasks_have_buttons_of_their_own(
    desk: Desk, tub: TubId, post: Post, clock: StillClock
) -> None:
    for title in ("Wash the lid", "Rinse the filter"):
        once(desk, tub, FRIDAY, title)
    at(clock, FRIDAY, 8)
    post.look()
    at(clock, FRIDAY, 17, 30)
    assert [len(note.items) for note in post.look().shown] == [1, 1]


def test_cosmetic_work_is_told_once(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    once(desk, tub, FRIDAY, rules={"cosmetic": True})
    assert until_quiet(desk, post, screen, clock) == [(FRIDAY, ["due"])]


def test_a_month_away_ends_in_one_digest(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    for number in range(8):
        add_task(desk, tub, title=f"Task {number}")
    post.look()
    screen.steps()
    clock.go(days=45)
    at(clock, clock.at.date(), 12)
    assert [len(steps) for steps in looked(post, screen)] == [8]
    assert looked(post, screen) == []


def test_quiet_hours_hold_back_until_they_end(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 23)
    assert looked(post, screen) == []
    at(clock, SATURDAY, 6, 59)
    delivery = post.look()
    assert delivery.next_look == clock.at + timedelta(minutes=1)
    clock.at = delivery.next_look
    assert looked(post, screen) == [["evening"]]


@pytest.mark.parametrize("rule", ["no_grace", "safety"])
def test_what_is_urgent_passes_quiet_hours_and_silent_weekends(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock, rule: str
) -> None:
    weekends(desk, Weekends.SILENT)
    once(desk, tub, SATURDAY, rules={rule: True})
    once(desk, tub, SATURDAY, "Sand the bench")
    at(clock, SATURDAY, 23)
    post.look()
    assert [note.is_urgent for note in screen.shown] == [True]
    assert len(screen.shown[0].items) == 1


def test_silent_weekends_end_on_monday_morning(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    weekends(desk, Weekends.SILENT)
    once(desk, tub, SATURDAY)
    at(clock, SATURDAY, 16)
    told = walk(post, screen, clock, date(2026, 5, 12))
    assert [(day, hour) for day, hour, _steps in told] == [(MONDAY, 8), (MONDAY, 17)]


def test_what_fridays_sleep_left_over_waits_for_monday_when_weekends_are_silent(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    weekends(desk, Weekends.SILENT)
    once(desk, tub, FRIDAY)
    at(clock, SATURDAY, 12)
    assert looked(post, screen) == []
    at(clock, MONDAY, 8)
    assert len(looked(post, screen)) == 1


def test_later_weekends_move_the_morning_by_two_hours(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    weekends(desk, Weekends.LATER)
    once(desk, tub, SATURDAY)
    at(clock, SATURDAY, 7)
    told = walk(post, screen, clock, SUNDAY)
    assert [(day, hour) for day, hour, _steps in told] == [(SATURDAY, 10), (SATURDAY, 17)]


def test_tomorrow_keeps_still_until_tomorrow_morning(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    (note,) = post.look().shown
    post.tomorrow(note.keys)
    post.tomorrow(note.keys)
    assert screen.notes == {}
    screen.shown.clear()
    told = walk(post, screen, clock, SUNDAY)
    assert told == [(SATURDAY, 8, ["again@20260509"])]


def test_tomorrow_means_saturday_even_when_weekends_are_silent(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    weekends(desk, Weekends.SILENT)
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    (note,) = post.look().shown
    post.tomorrow(note.keys)
    at(clock, SATURDAY, 8)
    screen.shown.clear()
    assert looked(post, screen) == [["again@20260509"]]


def test_tomorrow_lapses_when_the_work_is_done_first(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    task = once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    (note,) = post.look().shown
    post.tomorrow(note.keys)
    tick(desk, task)
    at(clock, SATURDAY, 8)
    screen.shown.clear()
    assert looked(post, screen) == []


def test_a_put_off_starts_the_steps_anew_and_takes_the_note_away(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    task = once(desk, tub, FRIDAY, rules={"lead_days": 7})
    at(clock, FRIDAY, 9)
    (note,) = post.look().shown
    put_off(desk, task, note.keys[0].key, MONDAY)
    screen.shown.clear()
    told = walk(post, screen, clock, date(2026, 5, 12))
    assert screen.withdrawn[0] == note.tag
    assert [(day, steps) for day, _hour, steps in told] == [
        (MONDAY, ["due.p1"]),
        (MONDAY, ["evening.p1"]),
    ]


def test_a_tick_does_not_bring_the_lead_of_the_next_time_at_once(
    desk: Desk, tub: TubId, post: Post, screen: Screen
) -> None:
    every = [{"kind": "elapsed", "every": 3, "period": "day"}]
    task = add_task(desk, tub, triggers=every, lead_days=7)
    post.look()
    tick(desk, task)
    screen.shown.clear()
    assert looked(post, screen) == []
