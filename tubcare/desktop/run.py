"""Starts the window: painted first, the logbook opened after."""

from __future__ import annotations

import os
import sys
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from tubcare.desktop.keeping import Keeping, default_path
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.shell import Parts, Window
from tubcare.desktop.theme import Theme
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.logbook import Logbook
    from tubcare.services.desk import Desk

APPLICATION_ID = "org.tubcare.Tubcare"


def run_window(open_desk: Callable[[], Desk], *, in_background: bool) -> int:
    """Show the window until it is closed, and return the exit code."""
    found = QApplication.instance()
    app = found if isinstance(found, QApplication) else QApplication(sys.argv[:1])
    app.setApplicationName("tubcare")
    app.setDesktopFileName(APPLICATION_ID)
    keeping = Keeping(default_path())
    window = Window(
        Parts(
            sections=SECTIONS,
            open_logbook=partial(_opened, open_desk),
            theme=Theme(app, keeping),
            keeping=keeping,
            speech=speech_for(os.environ),
        )
    )
    if not in_background:
        window.show()
    return app.exec()


def _opened(open_desk: Callable[[], Desk]) -> Logbook:
    from tubcare.desktop.opened import OpenLogbook  # noqa: PLC0415  the store loads after the paint

    return OpenLogbook(open_desk())
