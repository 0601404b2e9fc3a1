"""The window with the demo in it, for `shots.py`: python packaging/shots.py demo_window:parts."""

from __future__ import annotations

import os
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from tubcare.app import open_desk
from tubcare.cli.arguments import Arguments
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.section import Section

# A day of the demo's open season, so that pictures taken in winter show work too.
DAY = date(2026, 7, 15)


def parts() -> tuple[tuple[Section, ...], Callable[[], OpenLogbook], None]:
    """Return the sections, and the call that opens a fresh copy of the demo."""
    arguments = Arguments(command=None, demo=True, today=DAY, person="Maija")
    return SECTIONS, partial(_opened, arguments), None


def _opened(arguments: Arguments) -> OpenLogbook:
    return OpenLogbook(open_desk(arguments, speech_for(os.environ).own))
