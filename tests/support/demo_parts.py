"""The window on the demo, for pictures: `packaging/shots.py tests.support.demo_parts:parts`."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from tubcare.clock import SystemClock
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.services.demo import demo_logbook
from tubcare.services.desk import Desk
from tubcare.store.open import open_store
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.section import Section


def parts() -> tuple[tuple[Section, ...], Callable[[], OpenLogbook], None]:
    """Return the sections, and what opens the demo."""
    return SECTIONS, _open, None


def _open() -> OpenLogbook:
    clock = SystemClock()
    own = speech_for(os.environ).own
    path = demo_logbook(clock, own)
    return OpenLogbook(Desk(open_store(path, clock.now()), clock, "Aino", own))
