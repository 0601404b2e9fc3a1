"""The run of the window: painted first, all else after."""

from __future__ import annotations

import gc
import os
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer

from tubcare.desktop.keeping import Keeping, default_path
from tubcare.desktop.kept_speech import PERSON, kept_speech
from tubcare.desktop.sections import FIRST_RUN, SECTIONS
from tubcare.desktop.shell import Parts, Window
from tubcare.desktop.single_instance import SingleInstance
from tubcare.desktop.theme import Theme, make_application

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.edge import Edge
    from tubcare.desktop.logbook import Logbook
    from tubcare.desktop.reminding import WindowReminders
    from tubcare.desktop.screen import Context
    from tubcare.words.locale import Speech

APPLICATION_ID = "org.tubcare.Tubcare"
_FIRST_LOOK_MS = 1000
"""The first look at the reminders leaves the computer to the first screen for so long."""


def run(
    open_logbook: Callable[[Speech, str], Logbook],
    restore_newest: Callable[[], None] | None,
    *,
    in_background: bool,
    logbook: str,
) -> int:
    """Show the window until it is closed, and return the exit code."""
    app = make_application()
    app.setDesktopFileName(APPLICATION_ID)
    instance = SingleInstance(logbook) if logbook else None
    if instance is not None and instance.hand_over_if_taken():
        return 0
    keeping = Keeping(default_path())
    speech = kept_speech(keeping, os.environ)
    theme = Theme(app, keeping)
    window = Window(
        Parts(
            sections=SECTIONS,
            open_logbook=partial(open_logbook, speech, keeping.text(PERSON)),
            theme=theme,
            keeping=keeping,
            speech=speech,
            first_run=FIRST_RUN,
            restore_newest=restore_newest,
        )
    )
    after_paint = _AfterPaint(window, theme, keeping, instance)
    if in_background:
        QTimer.singleShot(0, window.go_on)
        after_paint.show_unless_in_tray()
    else:
        window.painted.connect(after_paint.finish)
        window.show()
    try:
        return app.exec()
    finally:
        after_paint.end()


class _AfterPaint:
    """Does after the first paint what the first paint can do without."""

    def __init__(
        self, window: Window, theme: Theme, keeping: Keeping, instance: SingleInstance | None
    ) -> None:
        self._window = window
        self._theme = theme
        self._keeping = keeping
        self._instance = instance
        self._edge: Edge | None = None
        self._reminders: WindowReminders | None = None
        self._context: Context | None = None
        window.opened.connect(self._remind)

    def finish(self) -> None:
        """Set up the tray and the log, catch what nobody caught, listen to second starts."""
        if self._edge is not None:
            return
        from tubcare.desktop.edge import Edge, write_log  # noqa: PLC0415  after the paint
        from tubcare.desktop.tray import Tray, tray_available  # noqa: PLC0415

        self._edge = Edge(self._window.work.faulted.emit)
        self._edge.install()
        self._theme.follow_system()
        self.tray = Tray(self._window, self._keeping, available=tray_available())
        if self._instance is not None:
            self._instance.asked_for.connect(self.tray.show_window)
            self._instance.listen()
        write_log()

    def show_unless_in_tray(self) -> None:
        """Start in the tray; where there is none, a hidden window could never be found."""
        self._window.assemble()
        self.finish()
        if not self._window.goes_on_when_closed:
            self._window.show()

    def _remind(self, context: Context) -> None:
        # What was loaded until here stays; garbage is looked for among what comes.
        gc.freeze()
        gc.enable()
        self._context = context
        QTimer.singleShot(_FIRST_LOOK_MS, self._read_tubs)

    def _read_tubs(self) -> None:
        from tubcare.desktop.reminding import names_tubs  # noqa: PLC0415  after the paint

        if self._context is not None:
            self._context.work.on_logbook(
                partial(names_tubs, self._context.desk),
                done=self._start_reminding,
                title="Reading the tubs",
            )

    def _start_reminding(self, names_tubs: bool) -> None:  # noqa: FBT001  a result
        from tubcare.desktop.reminding import WindowReminders  # noqa: PLC0415  after the paint

        if self._context is not None and self._reminders is None:
            self._reminders = WindowReminders(
                self._context, names_tubs=names_tubs, parent=self._window
            )
            self._reminders.start()

    def end(self) -> None:
        """Give back what was taken."""
        if self._reminders is not None:
            self._reminders.stop()
        if self._edge is not None:
            self._edge.remove()
        if self._instance is not None:
            self._instance.release()
