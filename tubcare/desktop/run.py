"""Starts the window: Qt last, painted first, the logbook opened after."""

from __future__ import annotations

import gc
import linecache
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from typing_extensions import override

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.care.template_words import OwnWords
    from tubcare.desktop.logbook import Logbook
    from tubcare.services.desk import Desk
    from tubcare.words.locale import Speech

# PySide6 reads the source of every module that is imported after it, to see whether it speaks of
# PySide6. What the first paint needs anyway is therefore imported before: a tenth of the start.
_BEFORE_QT: Final = (
    "dataclasses",
    "string",
    "tomllib",
    "tubcare.errors",
    "tubcare.desktop.section",
    "tubcare.words.locale",
)


class _NoSources(dict[str, Any]):
    """Python's memory of source lines, kept empty.

    WORKAROUND(PySide6 6.11): it reads the source of every module that is imported after it, and
    Python keeps every line: 20 MB that nobody needs. Tracebacks read their lines when they must.
    """

    @override
    def __setitem__(self, name: str, lines: object) -> None:
        """Keep nothing."""


def run_window(
    open_desk: Callable[[OwnWords, str], Desk], *, in_background: bool, logbook: str = ""
) -> int:
    """Show the window until it is closed, and return the exit code.

    Parameters
    ----------
    open_desk
        Opens the logbook for the person chosen on this computer, "" for none, with the language
        that plans are drawn in; called in the logbook's thread after the window was painted.
    in_background
        Whether to start in the tray, without showing the window.
    logbook
        Path or address for which one window is enough; "" for as many as are started.
    """
    # Loading makes many objects and no garbage; looking for it takes a twentieth of the start.
    gc.disable()
    linecache.cache = _NoSources()
    for name in _BEFORE_QT:
        import_module(name)
    from tubcare.desktop.loop import run  # noqa: PLC0415  see above

    on_file = bool(logbook) and "://" not in logbook
    return run(
        partial(_opened, open_desk),
        partial(_restore_newest, logbook) if on_file else None,
        in_background=in_background,
        logbook=logbook,
    )


def _restore_newest(logbook: str) -> None:
    from tubcare.clock import SystemClock  # noqa: PLC0415  seldom needed
    from tubcare.services.backups import restore_newest  # noqa: PLC0415

    restore_newest(Path(logbook), SystemClock().now())


def _opened(open_desk: Callable[[OwnWords, str], Desk], speech: Speech, person: str) -> Logbook:
    from tubcare.desktop.opened import OpenLogbook  # noqa: PLC0415  the store loads after the paint

    return OpenLogbook(open_desk(speech.own, person), speech)
