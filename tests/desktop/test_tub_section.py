"""What the sections about one tub share: its choice, pages made when shown, the empty state."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from tests.desktop.conftest import settle
from tests.desktop.tub_windows import desk_of, logbook_with
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import FIRST_RUN, SECTIONS
from tubcare.desktop.tub_part import Part
from tubcare.desktop.tub_section import TubSection
from tubcare.services.tubs import tubs

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

KEYS = ("tub", "power", "water")
OTHERS = [(first, other) for first in KEYS for other in KEYS if other != first]
LAST_PAGES = (("tub", "shelf"), ("power", "cautions"), ("water", "files"))

Opening = "Callable[..., Window]"


@pytest.fixture
def open_window(
    make_window: Callable[..., Window], tmp_path: Path, qtbot: QtBot
) -> Callable[..., Window]:
    def make(*names: str) -> Window:
        path = logbook_with(tmp_path / "a.db", *names)
        window = make_window(
            sections=SECTIONS, open_logbook=lambda: OpenLogbook(desk_of(path)), first_run=FIRST_RUN
        )
        settle(qtbot, window)
        return window

    return make


def section(qtbot: QtBot, window: Window, key: str, subject: object = None) -> TubSection:
    window.go(key, subject)
    settle(qtbot, window)
    found = window.screens.current
    assert isinstance(found, TubSection)
    return found


def choose_next(qtbot: QtBot, window: Window, screen: TubSection) -> None:
    QTest.keyClick(screen.choice, Qt.Key.Key_Down)
    settle(qtbot, window)


@pytest.mark.parametrize(("first", "other"), OTHERS)
def test_the_tub_chosen_in_one_section_is_the_tub_of_another_one_made_later(
    qtbot: QtBot, open_window: Callable[..., Window], first: str, other: str
) -> None:
    window = open_window("North", "South")
    choose_next(qtbot, window, section(qtbot, window, first))
    assert section(qtbot, window, other).choice.currentText() == "South"


@pytest.mark.parametrize(("first", "other"), OTHERS)
def test_a_section_that_was_shown_before_follows_the_tub_chosen_in_another(
    qtbot: QtBot, open_window: Callable[..., Window], first: str, other: str
) -> None:
    window = open_window("North", "South")
    before = section(qtbot, window, other).tub
    choose_next(qtbot, window, section(qtbot, window, first))
    after = section(qtbot, window, other)
    assert before is not None
    assert after.tub is not None
    assert (before.name, after.tub.name) == ("North", "South")
    assert after.choice.currentText() == "South"


def test_water_and_power_show_what_belongs_to_the_tub_that_was_chosen_elsewhere(
    qtbot: QtBot, open_window: Callable[..., Window]
) -> None:
    from tubcare.desktop.power_screen import PowerScreen
    from tubcare.desktop.water_screen import WaterScreen

    window = open_window("North", "South")
    water, power = section(qtbot, window, "water", "entry"), section(qtbot, window, "power")
    choose_next(qtbot, window, section(qtbot, window, "tub"))
    assert section(qtbot, window, "power") is power
    assert isinstance(power, PowerScreen)
    shown = power.now().tub
    assert shown is not None
    assert shown.name == "South"
    assert section(qtbot, window, "water") is water
    assert isinstance(water, WaterScreen)
    water.entry().typed["ph"].setText("7.4")
    QTest.keyClick(water.entry().typed["ph"], Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Written down for South" in window.strip.text)


@pytest.mark.parametrize("key", KEYS)
def test_a_tub_is_shown_that_another_screen_asks_for_before_the_section_was_read(
    qtbot: QtBot, open_window: Callable[..., Window], tmp_path: Path, key: str
) -> None:
    window = open_window("North", "South")
    desk = desk_of(tmp_path / "a.db")
    south = next(tub.id for tub in tubs(desk) if tub.name == "South")
    desk.store.close()
    assert section(qtbot, window, key, south).choice.currentText() == "South"


@pytest.mark.parametrize("key", KEYS)
def test_the_choice_has_a_name_and_is_hidden_where_there_is_nothing_to_choose(
    qtbot: QtBot, open_window: Callable[..., Window], key: str
) -> None:
    screen = section(qtbot, open_window("North"), key)
    assert screen.choice.accessibleName() == "Which tub"
    assert screen.choice.isHidden()


@pytest.mark.parametrize(("key", "page"), LAST_PAGES)
def test_only_the_page_in_front_is_made_and_it_stays_in_front(
    qtbot: QtBot, open_window: Callable[..., Window], key: str, page: str
) -> None:
    window = open_window("North")
    screen = section(qtbot, window, key)
    assert len(screen.findChildren(Part)) == 1
    section(qtbot, window, key, page)
    assert len(screen.findChildren(Part)) == 2
    window.go("week")
    section(qtbot, window, key)
    assert screen.tabs.currentIndex() == screen.tabs.count() - 1


@pytest.mark.parametrize("key", KEYS)
def test_without_a_tub_nothing_is_made_but_the_way_to_the_first_one(
    qtbot: QtBot, open_window: Callable[..., Window], key: str
) -> None:
    window = open_window()
    screen = section(qtbot, window, key)
    (button,) = (
        each
        for each in screen.needed.findChildren(QPushButton)
        if each.text() == "Describe a tub…"
    )
    assert button.isVisible()
    assert all(
        action.isEnabled() is (action is screen.needed.action) for action in screen.menu_actions
    )
    button.click()
    settle(qtbot, window)
    assert window.screens.key == "tub"
