"""The only door to background work: results come back in the window's thread."""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass
from queue import SimpleQueue
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import QObject, Signal, Slot
from shiboken6 import isValid

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable

T = TypeVar("T")
_REPORT_EVERY_S = 0.05


class StoppedError(Exception):
    """The person stopped the work; nobody needs to hear of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a piece of work has come."""

    ticket: Ticket
    part: float
    """From 0 to 1."""
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Work that ended with an error, and what it was about."""

    title: str
    error: BaseException


@dataclass(frozen=True, slots=True, kw_only=True)
class _Outcome:
    ticket: Ticket
    result: object = None
    error: BaseException | None = None


class Ticket:
    """A piece of work that was handed in; long work asks it now and then whether to stop."""

    def __init__(self, title: str, report: Callable[[Progress], None]) -> None:
        self.title = title
        self.stoppable = False
        self.over = False
        self._report = report
        self._next_report = 0.0
        self._stop = threading.Event()

    @property
    def stopped(self) -> bool:
        """Return whether the result is not wanted any more."""
        return self._stop.is_set()

    def stop(self) -> None:
        """Ask the work to end; its result will not be delivered."""
        self._stop.set()

    def report(self, part: float, text: str = "") -> None:
        """Tell how far the work has come; call it often, at least once a second.

        Raises
        ------
        StoppedError
            When the work shall end here. Let it pass, after undoing what is half done.
        """
        if self.stopped:
            raise StoppedError
        now = time.monotonic()
        if now >= self._next_report:
            self._next_report = now + _REPORT_EVERY_S
            self._report(Progress(ticket=self, part=part, text=text))


@dataclass(frozen=True, slots=True)
class _Calls:
    done: Callable[[object], None]
    failed: Callable[[BaseException], None] | None
    replaces: Hashable | None


class _Lane:
    """One thread that does one thing after another, and sleeps when there is nothing to do."""

    def __init__(self, name: str, finish: Callable[[_Outcome], None]) -> None:
        self._name = name
        self._finish = finish
        self._waiting: SimpleQueue[tuple[Ticket, Callable[[], object]] | None] = SimpleQueue()
        self._thread: threading.Thread | None = None

    def put(self, ticket: Ticket, call: Callable[[], object]) -> None:
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, name=self._name, daemon=True)
            self._thread.start()
        self._waiting.put((ticket, call))

    def close(self, wait_s: float) -> None:
        if self._thread is not None:
            self._waiting.put(None)
            self._thread.join(wait_s)

    def _run(self) -> None:
        while (item := self._waiting.get()) is not None:
            self._finish(_do(*item))
            # Else the last result would stay alive while the lane waits for the next.
            del item


class Work(QObject):
    """Runs slow things away from the window: the logbook in one thread, the rest in another.

    The callables handed in get plain values, and return plain values; they touch no widget. The
    calls `done` and `failed` happen in the window's thread, never after their widget is gone.
    """

    busy_changed = Signal(object)
    """Carries a bool: whether anything is going on."""
    progressed = Signal(object)
    """Carries a `Progress`."""
    ended = Signal(object)
    """Carries the `Ticket` of work that is over, whatever came of it."""
    faulted = Signal(object)
    """Carries a `Fault` that nobody else takes care of."""
    _finished = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._open: dict[Ticket, _Calls] = {}
        self._logbook = _Lane("logbook", self._finished.emit)
        self._rest = _Lane("rest", self._finished.emit)
        self._finished.connect(self._deliver)

    @property
    def busy(self) -> bool:
        """Return whether anything is going on."""
        return bool(self._open)

    def on_logbook(
        self,
        call: Callable[[], T],
        *,
        done: Callable[[T], None],
        failed: Callable[[BaseException], None] | None = None,
        title: str = "",
        replaces: Hashable | None = None,
    ) -> Ticket:
        """Run `call` in the logbook's thread, then `done` or `failed` here.

        Parameters
        ----------
        call
            Reads or writes the logbook through services.
        done, failed
            Bound methods. Without `failed` the window tells of the error by itself.
        title
            What goes on, in words a person knows, for errors and for the list of what was cut off.
        replaces
            Work with the same mark that is still open is stopped: the newest question counts.
        """
        ticket = self._ticket(title, replaces)
        self._hand_in(ticket, done, failed, replaces)
        self._logbook.put(ticket, call)
        return ticket

    def elsewhere(
        self,
        call: Callable[[Ticket], T],
        *,
        done: Callable[[T], None],
        failed: Callable[[BaseException], None] | None = None,
        title: str,
        replaces: Hashable | None = None,
    ) -> Ticket:
        """Run long work that uses no logbook, or only what it was given; it can be stopped.

        `call` gets its ticket, to report progress and to hear that it shall stop.
        """
        ticket = self._ticket(title, replaces)
        ticket.stoppable = True
        self._hand_in(ticket, done, failed, replaces)
        self._rest.put(ticket, lambda: call(ticket))
        return ticket

    def close(
        self, wait_s: float = 10.0, last: Callable[[], None] | None = None
    ) -> tuple[str, ...]:
        """Finish what was begun, within a limit; return the titles of what was cut off.

        `last` runs in the logbook's thread when all before it is done.
        """
        until = time.monotonic() + wait_s
        if last is not None:
            self._logbook.put(Ticket("Closing the logbook", self.progressed.emit), last)
        for ticket in self._open:
            if ticket.stoppable:
                ticket.stop()
        for lane in (self._logbook, self._rest):
            lane.close(max(0.0, until - time.monotonic()))
        left = tuple(t.title for t in self._open if not t.stopped and not t.over)
        if self._open:
            self._open.clear()
            self.busy_changed.emit(False)  # noqa: FBT003  the signal's value
        return left

    def _ticket(self, title: str, replaces: Hashable | None) -> Ticket:
        if replaces is not None:
            for ticket, calls in self._open.items():
                if calls.replaces == replaces:
                    ticket.stop()
        return Ticket(title, self.progressed.emit)

    def _hand_in(
        self,
        ticket: Ticket,
        done: Callable[[T], None],
        failed: Callable[[BaseException], None] | None,
        replaces: Hashable | None,
    ) -> None:
        self._open[ticket] = _Calls(done, failed, replaces)  # type: ignore[arg-type]
        if len(self._open) == 1:
            self.busy_changed.emit(True)  # noqa: FBT003  the signal's value

    @Slot(object)
    def _deliver(self, outcome: _Outcome) -> None:
        ticket = outcome.ticket
        calls = self._open.pop(ticket, None)
        if calls is None:
            return
        self.ended.emit(ticket)
        if not self._open:
            self.busy_changed.emit(False)  # noqa: FBT003  the signal's value
        if outcome.error is not None and not isinstance(outcome.error, StoppedError):
            self._fail(ticket, outcome.error, calls)
        elif outcome.error is None and not ticket.stopped and _is_there(calls.done):
            calls.done(outcome.result)

    def _fail(self, ticket: Ticket, error: BaseException, calls: _Calls) -> None:
        if calls.failed is not None and _is_there(calls.failed):
            calls.failed(error)
        else:
            self.faulted.emit(Fault(title=ticket.title, error=error))


def _do(ticket: Ticket, call: Callable[[], object]) -> _Outcome:
    try:
        if ticket.stopped:
            return _Outcome(ticket=ticket)
        return _Outcome(ticket=ticket, result=call())
    except BaseException as error:  # noqa: BLE001  the edge: whatever it is, the window tells
        return _Outcome(ticket=ticket, error=error)
    finally:
        ticket.over = True


def _is_there(call: Callable[..., None]) -> bool:
    owner = getattr(call, "__self__", None)
    return not isinstance(owner, QObject) or isValid(owner)
