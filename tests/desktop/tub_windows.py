"""A window on a logbook with tubs, for the tests of the section Tub."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.desktop.conftest import settle
from tests.support.clocks import StillClock, noon
from tubcare.care.model import TubState
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import FIRST_RUN, SECTIONS
from tubcare.desktop.tub_screen import TubScreen
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.plans import add_tub_with_plan
from tubcare.store.open import open_store
from tubcare.values import TubProfile

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from contextlib import AbstractContextManager
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

    Opening = Callable[[], AbstractContextManager[Desk]]

NOW = noon(2026, 5, 6)


def profile(name: str) -> TubProfile:
    return TubProfile(name=name, zone="Europe/Helsinki", latitude_deg=60.2, pump_w=40)


def desk_of(path: Path, clock: StillClock | None = None) -> Desk:
    return Desk(open_store(path, NOW), clock or StillClock(NOW), "Ann")


def logbook_with(path: Path, *names: str) -> Path:
    desk = desk_of(path)
    start_logbook(desk, currency_code="EUR", home_zone="Europe/Helsinki", person="Ann")
    for name in names:
        add_tub_with_plan(desk, profile(name), state=TubState.OPEN)
    desk.store.close()
    return path


def tub_screen(
    qtbot: QtBot,
    make_window: Callable[..., Window],
    path: Path,
    clock: StillClock | None = None,
) -> tuple[Window, TubScreen]:
    window = make_window(
        sections=SECTIONS,
        open_logbook=lambda: OpenLogbook(desk_of(path, clock)),
        first_run=FIRST_RUN,
    )
    window.go("tub")
    settle(qtbot, window)
    screen = window.screens.current
    assert isinstance(screen, TubScreen)
    return window, screen


def read(path: Path) -> Iterator[Desk]:
    """Yield a second desk on the same logbook, to look at what the window wrote."""
    desk = desk_of(path)
    yield desk
    desk.store.close()
