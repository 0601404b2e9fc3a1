"""Draw the sections of a window into PNG files; `shots.py` starts this with the right settings."""

from __future__ import annotations

import importlib
import os
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtGui import QFont, QFontDatabase

from tubcare.desktop.keeping import Keeping
from tubcare.desktop.shell import Parts, Window
from tubcare.desktop.theme import Theme, make_application
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

FONTS = Path("/usr/share/fonts/truetype/dejavu")
POINTS = 10
STILL_MS = 150


def main(arguments: list[str]) -> int:
    """Draw what the arguments name: source, file pattern, appearance, text size, size, keys."""
    source, pattern, appearance, percent, size, *keys = arguments
    app = make_application()
    _use_own_font(app)
    keeping = Keeping(Path(tempfile.mkdtemp()) / "window.ini")
    keeping.keep("look/appearance", appearance)
    keeping.keep("look/text_percent", percent)
    module, _, attribute = source.partition(":")
    sections, open_logbook, first_run = getattr(importlib.import_module(module), attribute)()
    parts = Parts(
        sections=sections,
        open_logbook=open_logbook,
        theme=Theme(app, keeping),
        keeping=keeping,
        speech=speech_for(os.environ),
        first_run=first_run,
    )
    window = Window(parts)
    loop = QEventLoop()
    window.opened.connect(loop.quit)
    width, _, height = size.partition("x")
    window.resize(int(width), int(height))
    window.show()
    window.activateWindow()
    loop.exec()
    for key in keys or [section.key for section in sections]:
        window.go(key)
        _wait_until_still(window)
        # An axis learns from its first painting how wide its figures are.
        window.grab()
        _wait_until_still(window)
        path = pattern.format(key=key)
        window.grab().save(path)
        print(path)
    window.quit()
    return 0


def _use_own_font(app: QApplication) -> None:
    for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"):
        QFontDatabase.addApplicationFont(str(FONTS / name))
    font = QFont("DejaVu Sans", POINTS)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    app.setFont(font)
    app.setCursorFlashTime(0)


def _wait_until_still(window: Window) -> None:
    loop = QEventLoop()
    while True:
        QTimer.singleShot(STILL_MS, loop.quit)
        loop.exec()
        if not window.work.busy:
            return


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
