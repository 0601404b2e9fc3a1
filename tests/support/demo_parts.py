"""The window on the demo, for pictures: `packaging/shots.py tests.support.demo_parts:parts`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tubcare.clock import SystemClock
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.services.demo import demo_logbook
from tubcare.services.desk import Desk
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.section import Section


def parts() -> tuple[tuple[Section, ...], Callable[[], OpenLogbook], None]:
    """Return the sections, and what opens the demo."""
    return SECTIONS, _open, None


def _open() -> OpenLogbook:
    clock = SystemClock()
    return OpenLogbook(Desk(open_store(demo_logbook(clock), clock.now()), clock, "Aino"))
