"""Start the installed tubcare, wait for its window and quit: exits 0 if it was painted."""

from __future__ import annotations

import sys
from typing import Final

from PySide6.QtCore import QElapsedTimer, QTimer
from PySide6.QtWidgets import QApplication, QMainWindow

from tubcare.app import main

PATIENCE_MS: Final = 20_000
# A window without a single font shows two or three colours.
FEWEST_COLOURS: Final = 20


class Onlooker:
    """Looks at the event loop's windows until the main one has been painted."""

    def __init__(self) -> None:
        self.seen = False
        self._waited = QElapsedTimer()
        self._timer = QTimer(interval=100)
        self._timer.timeout.connect(self.look)

    def begin(self) -> None:
        """Start looking; the event loop is about to run."""
        self._waited.start()
        self._timer.start()

    def look(self) -> None:
        """Quit when the window is there, or when it has taken too long."""
        windows = [w for w in QApplication.topLevelWidgets() if isinstance(w, QMainWindow)]
        for window in windows:
            self.seen = self.seen or (window.isVisible() and _colours(window) >= FEWEST_COLOURS)
        if self.seen or self._waited.elapsed() > PATIENCE_MS:
            self._timer.stop()
            QApplication.quit()


def _colours(window: QMainWindow) -> int:
    image = window.grab().toImage()
    across, down = range(0, image.width(), 2), range(0, image.height(), 2)
    return len({image.pixel(x, y) for x in across for y in down})


def start_and_look(arguments: list[str]) -> int:
    """Run the program with an onlooker in its event loop; return 0 when the window was seen."""
    real_exec = QApplication.exec
    onlookers: list[Onlooker] = []

    def watched_exec(*_: object) -> int:
        onlookers.append(Onlooker())
        onlookers[0].begin()
        return real_exec()

    QApplication.exec = watched_exec  # type: ignore[method-assign]
    sys.argv = ["tubcare", *arguments]
    code: int | str | None
    try:
        code = main()
    except SystemExit as stopped:
        code = stopped.code
    seen = bool(onlookers) and onlookers[0].seen
    print("the window was painted" if seen else "no window was painted", flush=True)
    return 0 if seen and not code else 1


if __name__ == "__main__":
    sys.exit(start_and_look(sys.argv[1:]))
