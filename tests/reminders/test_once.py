from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from tests.reminders.screens import Death, KilledError, Screen
from tests.reminders.times import FRIDAY, SATURDAY, at, looked, once, tick
from tests.support.plans import add_tub
from tubcare.errors import NotFoundError
from tubcare.reminders.post import Post
from tubcare.reminders.session import OnScreen, SessionFile
from tubcare.services.desk import HOME_ZONE, Desk
from tubcare.services.history import undo
from tubcare.services.household import (
    change_setting,
    ensure_person,
)
from tubcare.services.outbox import states
from tubcare.services.reminder_rows import State
from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from pathlib import Path

    from tests.support.clocks import StillClock
    from tubcare.values import TubId


def test_work_done_elsewhere_takes_the_note_away_here(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    task = once(desk, tub, FRIDAY)
    other = Post(desk, "Ann", "second", Screen())
    at(clock, FRIDAY, 9)
    (note,) = post.look().shown
    tick(desk, task)
    other.look()
    assert list(screen.notes) == [note.tag]
    post.look()
    assert screen.notes == {}


def test_a_digest_goes_when_the_last_of_its_tasks_is_done(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    tasks = [once(desk, tub, FRIDAY, f"Task {n}") for n in range(5)]
    at(clock, FRIDAY, 9)
    post.look()
    for task in tasks[:-1]:
        tick(desk, task)
    post.look()
    assert len(screen.notes) == 1
    tick(desk, tasks[-1])
    post.look()
    assert screen.notes == {}


def test_a_note_of_an_earlier_run_is_still_found_and_taken_away(
    desk: Desk, tub: TubId, clock: StillClock, tmp_path: Path
) -> None:
    task = once(desk, tub, FRIDAY)
    screen, kept = Screen(), tmp_path / "notes.json"
    at(clock, FRIDAY, 9)
    Post(desk, "Ann", "first", screen, OnScreen(SessionFile(kept))).look()
    tick(desk, task)
    Post(desk, "Ann", "second", screen, OnScreen(SessionFile(kept))).look()
    assert screen.notes == {}


def test_undo_brings_no_reminder_back_that_was_shown(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    task = once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    post.look()
    tick(desk, task)
    post.look()
    undo(desk)
    screen.shown.clear()
    assert looked(post, screen) == []
    at(clock, FRIDAY, 17, 30)
    assert looked(post, screen) == [["evening"]]


def test_undo_brings_back_what_was_asked_for_tomorrow(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    task = once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    (note,) = post.look().shown
    post.tomorrow(note.keys)
    tick(desk, task)
    post.look()
    undo(desk)
    at(clock, SATURDAY, 8)
    screen.shown.clear()
    assert looked(post, screen) == [["again@20260509"]]


def test_planning_twice_writes_nothing(
    desk: Desk, tub: TubId, post: Post, clock: StillClock
) -> None:
    for number in range(5):
        once(desk, tub, FRIDAY, f"Task {number}")
    at(clock, FRIDAY, 9)
    post.look()
    if desk.store.on_server:
        return
    mark = desk.store.change_mark()
    with desk.read() as connection:
        writes = connection.exec_driver_sql("PRAGMA data_version").scalar_one()
        before = states(desk, "Ann")
        post.look()
        assert connection.exec_driver_sql("PRAGMA data_version").scalar_one() == writes
    assert states(desk, "Ann") == before
    assert desk.store.change_mark() == mark


@pytest.mark.parametrize("death", list(Death))
def test_a_kill_loses_nothing_and_its_repeat_replaces_itself(
    desk: Desk, tub: TubId, clock: StillClock, tmp_path: Path, death: Death
) -> None:
    for number in range(5):
        once(desk, tub, FRIDAY, f"Task {number}")
    screen = Screen(death=death)
    kept = SessionFile(tmp_path / "notes.json")
    at(clock, FRIDAY, 9)
    with pytest.raises(KilledError):
        Post(desk, "Ann", "first", screen, OnScreen(kept)).look()
    screen.death = None
    once(desk, tub, FRIDAY, "Added since")
    second = Post(desk, "Ann", "second", screen, OnScreen(kept))
    second.look()
    clock.go(hours=1)
    second.look()
    second.look()
    assert sorted(len(note.items) for note in screen.notes.values()) == [1, 5]
    assert len(screen.shown) == (3 if death is Death.BEFORE_MARK else 2)


def test_a_claim_from_a_clock_that_ran_ahead_is_not_waited_for(
    desk: Desk, tub: TubId, clock: StillClock
) -> None:
    once(desk, tub, FRIDAY)
    screen = Screen(death=Death.BEFORE_SHOW)
    at(clock, date(2027, 5, 8), 12)
    with pytest.raises(KilledError):
        Post(desk, "Ann", "first", screen).look()
    screen.death = None
    at(clock, date(2027, 5, 7), 12)
    assert len(looked(Post(desk, "Ann", "second", screen), screen)) == 1


def test_a_clock_set_back_repeats_nothing(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    assert len(looked(post, screen)) == 1
    at(clock, FRIDAY, 7, 30)
    assert looked(post, screen) == []
    at(clock, FRIDAY, 8)
    assert looked(post, screen) == []


def test_a_move_to_another_zone_repeats_nothing_and_moves_what_is_to_come(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    post.look()
    change_setting(desk, HOME_ZONE, "America/New_York")
    screen.shown.clear()
    assert looked(post, screen) == []
    at(clock, SATURDAY, 0, 30)
    assert looked(post, screen) == [["evening"]]


def test_a_claim_slept_over_is_not_shown(
    desk: Desk, tub: TubId, post: Post, clock: StillClock
) -> None:
    once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    gathered = post.gather()
    clock.go(hours=2)
    other = Screen()
    assert len(looked(Post(desk, "Ann", "second", other), other)) == 1
    assert post.hand_over(gathered).shown == ()


def test_the_tub_far_west_is_told_of_when_its_day_has_come(
    desk: Desk, post: Post, screen: Screen, clock: StillClock
) -> None:
    change_setting(desk, HOME_ZONE, "Pacific/Kiritimati")
    far = add_tub(desk, name="Far", zone="Pacific/Honolulu")
    once(desk, far, FRIDAY)
    clock.at = datetime(2026, 5, 7, 18, 1, tzinfo=UTC)
    assert looked(post, screen) == []
    clock.at = datetime(2026, 5, 8, 18, 1, tzinfo=UTC)
    assert looked(post, screen) == [["due"]]


def test_each_person_is_told_for_themselves(
    desk: Desk, tub: TubId, post: Post, screen: Screen, clock: StillClock
) -> None:
    other_desk = Desk(desk.store, clock, "Ben")
    task = once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    with pytest.raises(NotFoundError):
        Post(other_desk, "Ben", "his", Screen()).look()
    add_person(desk)
    his = Screen()
    assert len(looked(post, screen)) == 1
    assert len(looked(Post(other_desk, "Ben", "his", his), his)) == 1
    assert {key.task for key in states(desk, "Ben")} == {task}


def add_person(desk: Desk) -> None:
    with desk.write("add_person", "Ben", frozenset({Topic.PEOPLE})) as unit:
        ensure_person(unit, "Ben")


def test_rows_of_closed_work_hold_no_pending_reminder(
    desk: Desk, tub: TubId, post: Post, clock: StillClock
) -> None:
    task = once(desk, tub, FRIDAY)
    at(clock, FRIDAY, 9)
    post.look()
    tick(desk, task)
    post.look()
    assert set(states(desk, "Ann").values()) == {State.ACTED}
