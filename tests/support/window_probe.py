"""Starts a window in a process of its own and says in JSON what was reached when.

Called as ``python window_probe.py bare SPAWNED`` or ``... tubcare SPAWNED LOGBOOK``, SPAWNED being
the `time.time()` at which the caller started this process. Times are milliseconds since then.
The program is started through its own door, with its imports in its own order.
"""

from __future__ import annotations

import json
import sys
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

_LOOK_MS = 2
_told: dict[str, float] = {}


def _reached(what: str) -> None:
    _told.setdefault(what, (time.time() - float(sys.argv[2])) * 1000)
    _told.setdefault(f"{what}_cpu", time.process_time() * 1000)


def _say() -> None:
    sys.stdout.write(json.dumps(_told))
    sys.stdout.flush()


def bare() -> None:
    """Show a QMainWindow with nothing in it."""
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication, QMainWindow
    from typing_extensions import override

    class Bare(QMainWindow):
        @override
        def paintEvent(self, event: QPaintEvent) -> None:
            super().paintEvent(event)
            _reached("painted")
            QTimer.singleShot(0, self.close)

    app = QApplication(sys.argv)
    window = Bare()
    window.show()
    app.exec()
    _say()


def tubcare(logbook: str) -> None:
    """Start the program as from a command line."""
    import gc
    from importlib import import_module

    from tubcare.app import main
    from tubcare.cli.arguments import parse
    from tubcare.desktop import run

    parse(["--logbook", logbook])
    gc.disable()
    for name in run._BEFORE_QT:
        import_module(name)
    from PySide6.QtCore import QTimer

    from tubcare.desktop import loop
    from tubcare.desktop.shell import Parts, Window

    class Probed(Window):
        def __init__(self, parts: Parts) -> None:
            super().__init__(parts)
            self._opening.painted.connect(lambda _: _reached("painted"))
            self.opened.connect(self._watch)
            self._looking = QTimer(self)
            self._looking.setInterval(_LOOK_MS)
            self._looking.timeout.connect(self._look)

        def _watch(self, _context: object) -> None:
            self._looking.start()

        def _look(self) -> None:
            from tubcare.desktop.week_tree import WeekTree

            tree = self.findChild(WeekTree)
            if tree is not None and tree.isVisible() and tree.model().rowCount():
                tree.repaint()
                _reached("usable")
                self._looking.stop()
                self.quit()

    vars(loop)["Window"] = Probed
    main(["--logbook", logbook])
    _say()


if __name__ == "__main__":
    if sys.argv[1] == "bare":
        bare()
    else:
        tubcare(sys.argv[3])
