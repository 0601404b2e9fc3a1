"""A new logbook: Enter on each of the four pages is enough."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tests.desktop.audit import audit
from tests.desktop.conftest import settle
from tests.support.clocks import StillClock, noon
from tubcare.desktop.first_run import FirstRun
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import FIRST_RUN, SECTIONS
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.desk import Desk
from tubcare.services.tubs import tubs
from tubcare.store.open import open_store

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

NOW = noon(2026, 5, 6)


def open_desk(path: Path) -> Desk:
    return Desk(open_store(path, NOW), StillClock(NOW), "Ann")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "new.db"


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return make_window(
        sections=SECTIONS,
        open_logbook=lambda: OpenLogbook(open_desk(path)),
        first_run=FIRST_RUN,
    )


def first_run(window: Window) -> FirstRun:
    screen = window.screens.current
    assert isinstance(screen, FirstRun)
    return screen


def test_enter_on_each_page_draws_up_a_plan_and_opens_the_tub(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = first_run(window)
    assert audit(window) == []
    for _page in range(4):
        QTest.keyClick(screen, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: isinstance(window.screens.current, WeekScreen))
    qtbot.waitUntil(lambda: "in its plan" in window.strip.text)
    settle(qtbot, window)
    desk = open_desk(path)
    (tub,) = tubs(desk)
    assert tub.state is not None
    assert tub.profile.volume_l == 400
    desk.store.close()


def test_escape_leads_to_an_empty_week_and_nothing_is_written(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    QTest.keyClick(first_run(window), Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: isinstance(window.screens.current, WeekScreen))
    desk = open_desk(path)
    assert tubs(desk) == ()
    desk.store.close()


def test_a_field_that_cannot_be_used_is_told_beside_it_and_kept(window: Window) -> None:
    screen = first_run(window)
    screen.tub.litres.setText("many")
    screen.go_on()
    assert screen.pages.currentIndex() == 0
    assert screen.tub.error_of("volume_l")
    assert screen.tub.litres.text() == "many"
