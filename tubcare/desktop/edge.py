"""The outermost edge: errors that nobody caught are written down and told, never swallowed."""

from __future__ import annotations

import logging
import sys
import threading
from typing import TYPE_CHECKING

from PySide6.QtCore import QtMsgType, qInstallMessageHandler

from tubcare.desktop.work import Fault

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import TracebackType

    from PySide6.QtCore import QMessageLogContext

logger = logging.getLogger(__name__)
_MOST_LOG_BYTES = 1_000_000
_LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG,
    QtMsgType.QtInfoMsg: logging.INFO,
    QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR,
    QtMsgType.QtFatalMsg: logging.CRITICAL,
}


class Edge:
    """Takes the hooks of Python and Qt while the window runs, and gives them back.

    Parameters
    ----------
    tell
        Shows a fault in the window; it may be called from any thread.
    """

    def __init__(self, tell: Callable[[Fault], None]) -> None:
        self._tell = tell
        self._telling = False
        self._before = sys.excepthook
        self._before_in_threads = threading.excepthook

    def install(self) -> None:
        """Take the hooks."""
        sys.excepthook = self._catch
        threading.excepthook = self._catch_in_thread
        qInstallMessageHandler(_log_message)

    def remove(self) -> None:
        """Give the hooks back."""
        sys.excepthook = self._before
        threading.excepthook = self._before_in_threads
        qInstallMessageHandler(None)

    def _catch(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        if issubclass(kind, KeyboardInterrupt):
            self._before(kind, error, trace)
            return
        self._take(error)

    def _catch_in_thread(self, arguments: threading.ExceptHookArgs) -> None:
        if arguments.exc_value is not None:
            self._take(arguments.exc_value)

    def _take(self, error: BaseException) -> None:
        logger.critical("nobody caught this", exc_info=error)
        # Telling may fail in the same way; it is not told again from inside itself.
        if not self._telling:
            self._telling = True
            try:
                self._tell(Fault(title="", error=error))
            finally:
                self._telling = False


def write_log() -> None:
    """Write warnings and worse to a file of this system's folder for logs."""
    from platformdirs import user_log_path  # noqa: PLC0415  not needed before the first paint

    try:
        path = user_log_path("tubcare", appauthor=False, ensure_exists=True) / "window.log"
        too_long = path.exists() and path.stat().st_size > _MOST_LOG_BYTES
        handler = logging.FileHandler(path, mode="w" if too_long else "a", encoding="utf-8")
    except OSError as error:
        logger.info("no log is written: %s", error)
        return
    handler.setLevel(logging.WARNING)
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    logging.getLogger().addHandler(handler)


def _log_message(kind: QtMsgType, context: QMessageLogContext, message: str) -> None:
    logging.getLogger(context.category or "qt").log(_LEVELS.get(kind, logging.WARNING), message)
