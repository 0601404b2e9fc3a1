"""Wakes the reminders up: one timer, in the window's thread, true to the clock on the wall."""

from __future__ import annotations

import logging
import math
from datetime import UTC, timedelta
from typing import TYPE_CHECKING, Final

from apscheduler.executors.debug import DebugExecutor
from apscheduler.schedulers.base import STATE_RUNNING, BaseScheduler
from apscheduler.schedulers.qt import QtScheduler
from PySide6.QtCore import QObject, QSocketNotifier, Qt, QTimer, Signal, Slot
from typing_extensions import override

from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from tubcare.clock import Clock
    from tubcare.reminders.notifiers import DesktopNotes
    from tubcare.services.topics import Topics

logger = logging.getLogger(__name__)

BEAT_S: Final = 60.0
JUMP_S: Final = 2.0
NEXT_LOOK: Final = "next_look"
BEAT: Final = "beat"
RETRY: Final = timedelta(seconds=60)


class _Waker(QObject):
    """Carries a wake-up from any thread into the window's."""

    wake = Signal()


class GuiScheduler(QtScheduler):  # type: ignore[misc]  # APScheduler has no types
    """APScheduler with one real timer; its jobs run in the window's thread.

    The stock one cannot cancel its timers under PySide6, runs jobs in other threads, loses
    wake-ups that come from them, and stops for good when its job store fails. This one wakes at
    least once a minute, so that sleep and changes of the clock are seen.

    Parameters
    ----------
    on_wake
        Called at each wake-up, before the jobs that are due.
    """

    def __init__(self, on_wake: Callable[[], None] | None = None) -> None:
        super().__init__(
            timezone=UTC,
            executors={"default": DebugExecutor()},
            job_defaults={"coalesce": True, "misfire_grace_time": None, "max_instances": 1},
        )
        self.wakes = 0
        self._on_wake = on_wake
        self._one_timer = QTimer()
        self._one_timer.setSingleShot(True)
        # A coarse timer may fire early, which would cost a second wake-up.
        self._one_timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._one_timer.timeout.connect(self._process_jobs)
        self._waker = _Waker()
        self._waker.wake.connect(self._wake_now, Qt.ConnectionType.QueuedConnection)

    @override
    def wakeup(self) -> None:
        """Look at the jobs soon; may be called from any thread."""
        self._waker.wake.emit()

    def _wake_now(self) -> None:
        self._start_timer(0.0)

    @override
    def _start_timer(self, wait_seconds: float | None) -> None:
        self._one_timer.stop()
        if self.state == STATE_RUNNING:
            wait_s = BEAT_S if wait_seconds is None else min(wait_seconds, BEAT_S)
            self._one_timer.start(max(0, math.ceil(wait_s * 1000)))

    @override
    def _stop_timer(self) -> None:
        self._one_timer.stop()

    @override
    def _process_jobs(self) -> None:
        if self.state != STATE_RUNNING:
            return
        self.wakes += 1
        wait_s: float | None = None
        try:
            if self._on_wake is not None:
                self._on_wake()
            wait_s = BaseScheduler._process_jobs(self)  # noqa: SLF001  the base of this method
        except Exception:  # the edge of the loop: whatever fails, it goes on
            logger.exception("a wake-up failed; the next comes in a minute")
        self._start_timer(wait_s)


class ReminderClock:
    """Sees that the clock on the wall moved by itself: the computer slept, or it was set.

    Parameters
    ----------
    clock
        The clock on the wall.
    monotonic_s
        Seconds that only ever run on.
    """

    def __init__(self, clock: Clock, monotonic_s: Callable[[], float]) -> None:
        self._clock = clock
        self._monotonic_s = monotonic_s
        self._offset_s = self._offset()

    def jumped_s(self) -> float:
        """Return by how many seconds it moved since it was asked last, 0 when it ran on."""
        offset_s = self._offset()
        moved_s = offset_s - self._offset_s
        self._offset_s = offset_s
        return moved_s if abs(moved_s) > JUMP_S else 0.0

    def _offset(self) -> float:
        return self._clock.now().timestamp() - self._monotonic_s()


class Wakeups(QObject):
    """Says when to look at the reminders: at the next due time, after changes, after sleep.

    Two jobs are derived from what the last look returned: the next look, and a steady beat on
    which to ask whether another program wrote to the logbook. Nothing of them is stored.

    Parameters
    ----------
    clock, monotonic_s
        The clock on the wall, and seconds that only run on.
    """

    look_due = Signal()
    """Time to look at the reminders; answer with `looked` or `failed`."""
    beat = Signal()
    """Time to ask whether somebody else wrote to the logbook; answer with `news` if so."""

    def __init__(
        self,
        clock: Clock,
        monotonic_s: Callable[[], float],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._clock = clock
        self._wall = ReminderClock(clock, monotonic_s)
        self._next_look: datetime | None = None
        self._looking = False
        self._look_again = False
        self.scheduler = GuiScheduler(self._watch)

    @property
    def next_look(self) -> datetime | None:
        """When the next look is to come at the latest; None before the first."""
        return self._next_look

    def start(self) -> None:
        """Begin, with a look at once."""
        self.scheduler.start()
        self._beat_from_now()
        self._ask()

    def stop(self) -> None:
        """End; nothing is called any more."""
        if self.scheduler.state == STATE_RUNNING:
            self.scheduler.remove_all_jobs()
            self.scheduler.shutdown(wait=False)

    def changed(self, topics: Topics) -> None:
        """Hear what a use case changed; reminders alone ask for nothing."""
        if topics - {Topic.REMINDERS}:
            self._ask()

    @Slot(object)
    def looked(self, next_look: datetime) -> None:
        """Hear that the look is over, and when to look again."""
        self._looking = False
        self._next_look = next_look
        if self.scheduler.state != STATE_RUNNING:
            return
        self.scheduler.add_job(
            self._ask, "date", run_date=next_look, id=NEXT_LOOK, replace_existing=True
        )
        if self._look_again:
            self._ask()

    @Slot()
    def failed(self) -> None:
        """Hear that the look came to nothing; the next is in a minute."""
        self._look_again = False
        self.looked(self._clock.now() + RETRY)

    @Slot()
    def news(self) -> None:
        """Hear that somebody else wrote to the logbook."""
        self._ask()

    def _ask(self) -> None:
        """Ask for a look, one at a time."""
        if self.scheduler.state != STATE_RUNNING:
            return
        self._look_again = self._looking
        if not self._looking:
            self._looking = True
            self.look_due.emit()

    def _beat(self) -> None:
        self.beat.emit()
        if self._next_look is not None and self._clock.now() >= self._next_look:
            self._ask()

    def _watch(self) -> None:
        """Derive the jobs anew when the clock moved: they were set by the old one."""
        if self._wall.jumped_s():
            self._beat_from_now()
            self._ask()

    def _beat_from_now(self) -> None:
        self.scheduler.add_job(
            self._beat, "interval", seconds=BEAT_S, id=BEAT, replace_existing=True
        )


class AnswerWatch(QObject):
    """Hears of buttons pressed on desktop notifications, in the window's thread."""

    answered = Signal(object)
    """Carries an `Answered`."""
    _called = Signal()

    def __init__(self, notes: DesktopNotes, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._notes = notes
        self._socket: QSocketNotifier | None = None
        self._called.connect(self.read, Qt.ConnectionType.QueuedConnection)
        notes.on_call(self._called.emit)
        if notes.socket is not None:
            self._socket = QSocketNotifier(notes.socket, QSocketNotifier.Type.Read, self)
            self._socket.activated.connect(self.read)

    @Slot()
    def read(self) -> None:
        """Pass on what was pressed."""
        for each in self._notes.answers():
            self.answered.emit(each)
        if self._notes.socket is None:
            self.stop()

    def stop(self) -> None:
        """Hear nothing any more; call it before the notes are closed."""
        if self._socket is not None:
            self._socket.setEnabled(False)
