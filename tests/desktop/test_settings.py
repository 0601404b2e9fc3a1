"""Settings and backups, driven as a person drives them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest

from tests.desktop.audit import audit
from tests.desktop.conftest import settle
from tests.desktop.desks import NOW, desk_on, new_desk, window_on
from tests.support.plans import add_tub
from tubcare.desktop.backups_screen import BackupsScreen
from tubcare.desktop.closed_page import ClosedPage
from tubcare.desktop.kept_speech import PERSON, kept_speech
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.page_list import BACKUPS, SETTINGS
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.settings_screen import SettingsScreen
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.backups import back_up, backups_of, restore_newest
from tubcare.services.household import home_zone, people
from tubcare.services.tubs import tubs
from tubcare.words.locale import Units, speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.keeping import Keeping
    from tubcare.desktop.shell import Window


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    desk = new_desk(path)
    add_tub(desk, zone="UTC")
    desk.store.close()
    return path


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return window_on(make_window, path)


def settings(qtbot: QtBot, window: Window) -> SettingsScreen:
    window.menus.settings.trigger()
    settle(qtbot, window)
    screen = window.screens.current
    assert isinstance(screen, SettingsScreen)
    return screen


def backups(qtbot: QtBot, window: Window) -> BackupsScreen:
    window.menus.backups.trigger()
    settle(qtbot, window)
    screen = window.screens.current
    assert isinstance(screen, BackupsScreen)
    return screen


@pytest.mark.parametrize("key", [SETTINGS, BACKUPS])
def test_nothing_is_wrong_with_settings_and_backups(
    qtbot: QtBot, window: Window, key: str
) -> None:
    window.resize(1024, 600)
    window.go(key)
    settle(qtbot, window)
    assert audit(window) == []


def test_a_person_moves_the_morning_and_the_quiet_hours(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = settings(qtbot, window)
    screen.reminders.digest.setText("6:45")
    screen.reminders.quiet_from.setText("21")
    QTest.keyClick(screen.reminders.quiet_from, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "kept" in window.strip.text)
    desk = desk_on(path)
    (ann,) = people(desk)
    desk.store.close()
    assert (ann.digest_minute, ann.quiet_from_minute) == (6 * 60 + 45, 21 * 60)
    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: "Taken back" in window.strip.text)
    settle(qtbot, window)
    assert screen.reminders.digest.text() != "06:45"


def test_a_time_zone_nobody_knows_is_told_beside_the_field_and_nothing_is_kept(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = settings(qtbot, window)
    screen.logbook.zone.setText("Moon/Crater")
    screen.save()
    settle(qtbot, window)
    assert "Europe/Helsinki" in screen.logbook.error_of("zone")
    desk = desk_on(path)
    assert home_zone(desk) == "UTC"
    desk.store.close()


def test_language_formats_and_units_are_kept_for_the_next_start(
    qtbot: QtBot, window: Window, keeping: Keeping
) -> None:
    screen = settings(qtbot, window)
    screen.computer.formats.setCurrentIndex(screen.computer.formats.findData("de_AT"))
    screen.computer.units.setCurrentIndex(screen.computer.units.findData(Units.US.value))
    screen.save()
    settle(qtbot, window)
    speech = kept_speech(keeping, {"LC_ALL": "en_GB.UTF-8"})
    assert (speech.language, speech.formats_tag, speech.units) == ("de", "de_AT", Units.US)


def test_the_person_at_this_computer_is_chosen_among_those_of_the_logbook(
    qtbot: QtBot, window: Window, keeping: Keeping
) -> None:
    screen = settings(qtbot, window)
    assert keeping.text(PERSON) == ""
    screen.computer.person.setCurrentIndex(screen.computer.person.findData("Ann"))
    screen.save()
    settle(qtbot, window)
    assert keeping.text(PERSON) == "Ann"


def test_without_a_choice_the_system_decides(keeping: Keeping) -> None:
    speech = kept_speech(keeping, {"LC_ALL": "fi_FI.UTF-8"})
    assert (speech.language, speech.units) == ("fi", Units.METRIC)


def test_a_backup_is_taken_and_brought_back_and_what_was_there_is_kept(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = backups(qtbot, window)
    assert screen.empty.isVisible()
    screen.take()
    qtbot.waitUntil(lambda: "checked" in window.strip.text)
    desk = desk_on(path)
    add_tub(desk, name="South", zone="UTC")
    settle(qtbot, window)
    screen.table.selectRow(0)
    screen.bring_back()
    qtbot.waitUntil(lambda: "is back" in window.strip.text)
    settle(qtbot, window)
    assert [tub.name for tub in tubs(desk)] == ["North"]
    assert {each.why for each in backups_of(desk)} == {"asked", "before-restore"}
    desk.store.close()


def test_a_damaged_logbook_opens_again_from_its_newest_backup(
    make_window: Callable[..., Window], qtbot: QtBot, path: Path
) -> None:
    desk = desk_on(path)
    back_up(desk)
    desk.store.close()
    path.write_bytes(b"broken" * 1000)
    window = make_window(
        opened=False,
        sections=SECTIONS,
        open_logbook=lambda: OpenLogbook(desk_on(path)),
        restore_newest=lambda: restore_newest(path, NOW),
    )
    with qtbot.waitSignal(window.keeper.not_opened, timeout=5000):
        window.show()
    page = window.screens.currentWidget()
    assert isinstance(page, ClosedPage)
    with qtbot.waitSignal(window.opened, timeout=5000):
        page.backup_button.click()
    desk = desk_on(path)
    assert [tub.name for tub in tubs(desk)] == ["North"]
    desk.store.close()


def test_the_chosen_language_holds_in_every_part_of_the_window(
    make_window: Callable[..., Window], qtbot: QtBot, path: Path
) -> None:
    german = speech_for({}, chosen="de_DE", currency_code="EUR")
    window = make_window(
        sections=SECTIONS,
        speech=german,
        open_logbook=lambda: OpenLogbook(desk_on(path), german),
    )
    settle(qtbot, window)
    week = window.screens.current
    assert isinstance(week, WeekScreen)
    assert "Mai" in week.subtitle.text()
    dip = next(each for each in week.menu_actions if each.shortcut() == QKeySequence("Ctrl+D"))
    dip.trigger()
    qtbot.waitUntil(lambda: bool(window.strip.text))
    assert "Bad" in window.strip.text
    settle(qtbot, window)
    assert "Bad" in window.menus.undo.text()
