"""Windows on a real logbook, for tests of the sections."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.support.clocks import StillClock, noon
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime
    from pathlib import Path

    from tubcare.desktop.shell import Window

# A Wednesday.
NOW = noon(2026, 5, 6)


def new_desk(path: Path, *, now: datetime = NOW, zone: str = "UTC") -> Desk:
    """Return a desk on a new logbook."""
    desk = desk_on(path, now=now)
    start_logbook(desk, currency_code="EUR", home_zone=zone, person="Ann")
    return desk


def desk_on(path: Path, person: str = "Ann", *, now: datetime = NOW) -> Desk:
    """Return another desk on a logbook, as a second program or person has it."""
    return Desk(open_store(path, now), StillClock(now), person)


def window_on(
    make_window: Callable[..., Window], path: Path, *, now: datetime = NOW, **parts: object
) -> Window:
    """Return the window with all its sections on a logbook."""
    return make_window(
        sections=SECTIONS, open_logbook=lambda: OpenLogbook(desk_on(path, now=now)), **parts
    )
