"""Starts a window in a process of its own and says in JSON what was reached, and when.

Called as ``python window_probe.py bare|tubcare SPAWNED [LOGBOOK] [--idle S] [--switches N]``.
SPAWNED is the `time.time()` at which the caller started this process; times are milliseconds since
then. The program is started through its own door, with its imports in its own order.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from PySide6.QtCore import QEvent, QObject
    from PySide6.QtGui import QPaintEvent

    from tubcare.desktop.shell import Window

_LOOK_MS = 2
_SETTLE_MS = 10_000
_told: dict[str, float] = {}


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    parser.add_argument("which")
    parser.add_argument("spawned", type=float)
    parser.add_argument("logbook", nargs="?")
    parser.add_argument("--idle", type=float, default=0.0)
    parser.add_argument("--switches", type=int, default=0)
    return parser.parse_args()


ASKED = _asked()


def _reached(what: str) -> None:
    _told.setdefault(what, (time.time() - ASKED.spawned) * 1000)
    _told.setdefault(f"{what}_cpu", time.process_time() * 1000)


def _memory_mb() -> float:
    """Return the memory that this process occupies (Linux: VmRSS)."""
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmRSS"))


def _switches() -> int:
    """Return how often the threads of this process have gone to sleep so far (Linux)."""
    counted = 0
    for status in Path("/proc/self/task").glob("*/status"):
        lines = status.read_text(encoding="ascii").splitlines()
        counted += sum(int(line.split()[1]) for line in lines if line.startswith("voluntary"))
    return counted


def _drive(steps: Iterator[float]) -> None:
    """Take the steps; each says how many milliseconds to leave the window alone after it."""
    from PySide6.QtCore import QTimer

    wait = next(steps, None)
    if wait is not None:
        QTimer.singleShot(round(wait), lambda: _drive(steps))


def _timeouts() -> Callable[[], int]:
    """Return what tells how many timers of ours have run out from now on."""
    from PySide6.QtCore import QEvent, QObject, QTimer
    from PySide6.QtWidgets import QApplication
    from typing_extensions import override

    class Counter(QObject):
        count = 0

        @override
        def eventFilter(self, watched: QObject, event: QEvent) -> bool:
            # Qt has timers of its own, such as that of its cache of pictures; they are no QTimer.
            self.count += event.type() is QEvent.Type.Timer and isinstance(watched, QTimer)
            return False

    app = QApplication.instance()
    counter = Counter(app)
    if app is not None:
        app.installEventFilter(counter)
    return lambda: counter.count


def _leave_alone() -> Iterator[float]:
    """Count what happens while nobody does anything."""
    yield min(_SETTLE_MS, ASKED.idle * 1000)
    counted = _timeouts()
    cpu, switches = time.process_time(), _switches()
    yield ASKED.idle * 1000
    _told["idle_cpu"] = (time.process_time() - cpu) * 1000
    _told["idle_switches"] = _switches() - switches
    _told["idle_timeouts"] = counted()


def bare() -> None:
    """Show a QMainWindow with nothing in it."""
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication, QMainWindow
    from typing_extensions import override

    class Bare(QMainWindow):
        @override
        def paintEvent(self, event: QPaintEvent) -> None:
            super().paintEvent(event)
            if "painted" not in _told:
                _reached("painted")
                QTimer.singleShot(0, lambda: _drive(self.steps()))

        def steps(self) -> Iterator[float]:
            if ASKED.idle:
                yield from _leave_alone()
            if ASKED.switches:
                yield min(_SETTLE_MS, ASKED.switches)
                _told["memory"] = _memory_mb()
            self.close()

    app = QApplication(sys.argv)
    window = Bare()
    window.show()
    app.exec()


def _until_the_week_is_there(window: Window) -> Iterator[float]:
    from tubcare.desktop.week_tree import WeekTree

    while True:
        tree = window.findChild(WeekTree)
        if tree is not None and tree.isVisible() and tree.model().rowCount():
            tree.repaint()
            return
        yield _LOOK_MS


def _change_sections(window: Window) -> Iterator[float]:
    from tubcare.desktop.sections import SECTIONS

    yield min(_SETTLE_MS, ASKED.switches)
    _told["memory"] = _memory_mb()
    yield from _change_to(window, "review")
    _told["memory_chart"] = _memory_mb()
    keys = [section.key for section in SECTIONS]
    for key in keys:
        yield from _change_to(window, key)
    _told["memory_all"] = _memory_mb()
    for number in range(ASKED.switches):
        yield from _change_to(window, keys[number % len(keys)])
    _told["memory_after"] = _memory_mb()


def _change_to(window: Window, key: str) -> Iterator[float]:
    window.go(key)
    yield 0
    while window.work.busy:
        yield _LOOK_MS
    window.repaint()


def tubcare() -> None:
    """Start the program as from a command line."""
    import gc
    import linecache
    from importlib import import_module

    from tubcare.app import main
    from tubcare.cli.arguments import parse
    from tubcare.desktop import run

    parse(["--logbook", ASKED.logbook])
    gc.disable()
    vars(linecache)["cache"] = run._NoSources()
    for name in run._BEFORE_QT:
        import_module(name)
    from tubcare.desktop import loop
    from tubcare.desktop.shell import Parts, Window

    class Probed(Window):
        def __init__(self, parts: Parts) -> None:
            super().__init__(parts)
            self._opening.painted.connect(lambda _: _reached("painted"))
            self.opened.connect(lambda _: _drive(self.steps()))

        def steps(self) -> Iterator[float]:
            yield from _until_the_week_is_there(self)
            _reached("usable")
            if ASKED.idle:
                yield from _leave_alone()
            if ASKED.switches:
                yield from _change_sections(self)
            self.quit()

    vars(loop)["Window"] = Probed
    main(["--logbook", ASKED.logbook])


if __name__ == "__main__":
    if ASKED.which == "bare":
        bare()
    else:
        tubcare()
    sys.stdout.write(json.dumps(_told))
    sys.stdout.flush()
