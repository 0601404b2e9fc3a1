"""The one timer of the window: real Qt, real threads, short waits on signals."""

from __future__ import annotations

import threading
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QObject, Signal

from tests.support.clocks import StillClock
from tubcare.clock import SystemClock
from tubcare.desktop import wakeups
from tubcare.desktop.wakeups import BEAT, NEXT_LOOK, GuiScheduler, ReminderClock, Wakeups
from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytestqt.qtbot import QtBot

FAR = timedelta(days=40)


def soon(seconds: float = 0.05) -> datetime:
    return SystemClock().now() + timedelta(seconds=seconds)


class Run(QObject):
    """A job that says in which thread it ran."""

    done = Signal(bool)

    def __call__(self) -> None:
        self.done.emit(threading.current_thread() is threading.main_thread())


@pytest.fixture
def scheduler(qtbot: QtBot) -> Iterator[GuiScheduler]:
    assert qtbot is not None
    scheduler = GuiScheduler()
    scheduler.start()
    yield scheduler
    if scheduler.running:
        scheduler.shutdown(wait=False)


def test_a_thousand_far_jobs_leave_one_timer(scheduler: GuiScheduler, qtbot: QtBot) -> None:
    for number in range(1000):
        scheduler.add_job(print, "date", run_date=soon() + FAR, id=str(number))
    run = Run()
    with qtbot.waitSignal(run.done, timeout=5000) as ran:
        scheduler.add_job(run, "date", run_date=soon())
    assert ran.args == [True]
    # Each job asked for a wake-up: those of one turn of the event loop are taken together.
    assert scheduler.wakes <= 4


def test_a_job_from_another_thread_runs_in_the_windows(
    scheduler: GuiScheduler, qtbot: QtBot
) -> None:
    run = Run()

    def add() -> None:
        scheduler.add_job(run, "date", run_date=soon())

    with qtbot.waitSignal(run.done, timeout=5000) as ran:
        thread = threading.Thread(target=add)
        thread.start()
        thread.join()
    assert ran.args == [True]


def test_a_job_that_is_late_still_runs(scheduler: GuiScheduler, qtbot: QtBot) -> None:
    run = Run()
    with qtbot.waitSignal(run.done, timeout=5000):
        scheduler.add_job(run, "date", run_date=soon() - FAR)


@pytest.mark.logs
def test_a_wake_up_that_fails_does_not_end_the_loop(
    qtbot: QtBot, caplog: pytest.LogCaptureFixture
) -> None:
    failures = iter([True])

    def fail_once() -> None:
        if next(failures, False):
            raise OSError("no store")

    scheduler, run = GuiScheduler(fail_once), Run()
    scheduler.start()
    qtbot.waitUntil(lambda: scheduler.wakes > 0, timeout=5000)
    with qtbot.waitSignal(run.done, timeout=5000):
        scheduler.add_job(run, "date", run_date=soon())
    scheduler.shutdown(wait=False)
    assert "a wake-up failed" in caplog.text


def test_nothing_happens_after_shutdown(scheduler: GuiScheduler, qtbot: QtBot) -> None:
    run, marker = Run(), Run()
    scheduler.add_job(run, "date", run_date=soon())
    scheduler.shutdown(wait=False)
    wakes = scheduler.wakes
    scheduler.wakeup()
    other = GuiScheduler()
    other.start()
    with qtbot.assertNotEmitted(run.done), qtbot.waitSignal(marker.done, timeout=5000):
        other.add_job(marker, "date", run_date=soon(0.3))
    other.shutdown(wait=False)
    assert scheduler.wakes == wakes


def test_an_idle_scheduler_wakes_once_a_beat(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(wakeups, "BEAT_S", 0.1)
    scheduler, marker = GuiScheduler(), Run()
    scheduler.start()
    with qtbot.waitSignal(marker.done, timeout=5000):
        scheduler.add_job(marker, "date", run_date=soon(1.0))
    # At the start, after the new job, ten beats, and the job itself.
    assert 3 <= scheduler.wakes <= 14
    scheduler.shutdown(wait=False)


class Seconds:
    """A monotonic clock that a test moves."""

    def __init__(self) -> None:
        self.at = 100.0

    def __call__(self) -> float:
        return self.at


@pytest.fixture
def still() -> StillClock:
    return StillClock(datetime(2026, 5, 1, 12, tzinfo=UTC))


def test_time_that_runs_on_is_no_jump(still: StillClock) -> None:
    seconds = Seconds()
    wall = ReminderClock(still, seconds)
    still.go(hours=1)
    seconds.at += 3600.5
    assert wall.jumped_s() == 0.0


@pytest.mark.parametrize("hours", [8, -1])
def test_sleep_and_a_clock_set_are_seen_once(still: StillClock, hours: int) -> None:
    wall = ReminderClock(still, Seconds())
    still.go(hours=hours)
    assert wall.jumped_s() == pytest.approx(hours * 3600)
    assert wall.jumped_s() == 0.0


class Looks:
    """Counts the looks that were asked for."""

    def __init__(self, waking: Wakeups) -> None:
        self.count = 0
        waking.look_due.connect(self.add)

    def add(self) -> None:
        self.count += 1


@pytest.fixture
def seconds() -> Seconds:
    return Seconds()


@pytest.fixture
def waking(qtbot: QtBot, still: StillClock, seconds: Seconds) -> Iterator[Wakeups]:
    assert qtbot is not None
    waking = Wakeups(still, seconds)
    yield waking
    waking.stop()


def test_it_looks_at_the_start_and_sets_both_jobs(waking: Wakeups) -> None:
    looks = Looks(waking)
    waking.start()
    assert looks.count == 1
    waking.looked(soon(3600))
    ids = {job.id for job in waking.scheduler.get_jobs()}
    assert ids == {BEAT, NEXT_LOOK}


def test_each_look_moves_the_next(waking: Wakeups) -> None:
    waking.start()
    for hours in (1, 2):
        at = soon(hours * 3600)
        waking.looked(at)
        assert waking.scheduler.get_job(NEXT_LOOK).next_run_time == at


def test_it_looks_when_the_time_has_come(waking: Wakeups, qtbot: QtBot) -> None:
    waking.start()
    with qtbot.waitSignal(waking.look_due, timeout=5000):
        waking.looked(soon())


def test_it_looks_after_changes_one_at_a_time(waking: Wakeups) -> None:
    looks = Looks(waking)
    waking.start()
    waking.changed(frozenset({Topic.UPKEEP}))
    waking.changed(frozenset({Topic.UPKEEP, Topic.MONEY}))
    assert looks.count == 1
    waking.looked(soon(3600))
    assert looks.count == 2
    waking.looked(soon(3600))
    assert looks.count == 2


def test_its_own_marks_do_not_make_it_look(waking: Wakeups) -> None:
    looks = Looks(waking)
    waking.start()
    waking.looked(soon(3600))
    waking.changed(frozenset({Topic.REMINDERS}))
    assert looks.count == 1


def test_a_failed_look_is_tried_again_in_a_minute(waking: Wakeups, still: StillClock) -> None:
    waking.start()
    waking.failed()
    assert waking.next_look == still.now() + timedelta(minutes=1)


@pytest.mark.parametrize("hours", [8, -1])
def test_a_jump_of_the_clock_makes_it_look_and_sets_the_beat_anew(
    waking: Wakeups, still: StillClock, qtbot: QtBot, hours: int
) -> None:
    waking.start()
    waking.looked(soon(3600))
    beat = waking.scheduler.get_job(BEAT).next_run_time
    still.go(hours=hours)
    with qtbot.waitSignal(waking.look_due, timeout=5000):
        waking.scheduler.wakeup()
    assert waking.scheduler.get_job(BEAT).next_run_time > beat


def test_the_beat_asks_for_news_and_news_make_it_look(waking: Wakeups, qtbot: QtBot) -> None:
    waking.start()
    waking.looked(soon(3600))
    waking.beat.connect(waking.news)
    with qtbot.waitSignal(waking.look_due, timeout=5000):
        waking.scheduler.modify_job(BEAT, next_run_time=soon())


def test_nothing_is_asked_after_the_stop(waking: Wakeups) -> None:
    looks = Looks(waking)
    waking.start()
    waking.stop()
    waking.looked(soon())
    waking.changed(frozenset({Topic.UPKEEP}))
    waking.stop()
    assert looks.count == 1
    assert waking.scheduler.get_jobs() == []
