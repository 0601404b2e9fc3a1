"""Reminders inside the window, on a real logbook, with no desktop to speak to."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on, new_desk, window_on
from tests.support.plans import add_task, add_tub
from tubcare.desktop.reminding import WindowReminders
from tubcare.reminders.notifiers import Answered, Press
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.week import this_week
from tubcare.store.backup import backups

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("DBUS_SESSION_BUS_ADDRESS", raising=False)
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path / "run"))
    path = tmp_path / "a.db"
    desk = new_desk(path)
    add_task(desk, add_tub(desk, zone="UTC"))
    desk.store.close()
    return path


@pytest.fixture
def reminders(
    qtbot: QtBot, make_window: Callable[..., Window], path: Path
) -> Iterator[tuple[Window, WindowReminders]]:
    window = window_on(make_window, path)
    assert window.context is not None
    made = WindowReminders(window.context, names_tubs=False, parent=window)
    made.start()
    qtbot.waitUntil(lambda: bool(window.notices.keys))
    yield window, made
    settle(qtbot, window)
    made.stop()


def test_what_is_late_stands_in_the_window_and_goes_when_ticked_off(
    qtbot: QtBot, reminders: tuple[Window, WindowReminders], path: Path
) -> None:
    window, made = reminders
    (key,) = window.notices.keys
    made.act(Answered(tag=key.removeprefix("reminder "), press=Press.TICK_OFF))
    qtbot.waitUntil(lambda: not window.notices.keys)
    desk = desk_on(path)
    assert this_week(desk).late == ()
    desk.store.close()


def test_what_another_program_ticked_off_goes_with_the_next_beat(
    qtbot: QtBot, reminders: tuple[Window, WindowReminders], path: Path
) -> None:
    window, made = reminders
    settle(qtbot, window)
    desk = desk_on(path)
    (item,) = this_week(desk).late
    tick_off(desk, item.task, item.occurrence.key)
    desk.store.close()
    assert window.notices.keys
    made.wakeups.beat.emit()
    qtbot.waitUntil(lambda: not window.notices.keys)


def test_the_first_look_of_a_day_takes_a_backup(
    reminders: tuple[Window, WindowReminders], path: Path
) -> None:
    _ = reminders
    assert [b.why for b in backups(path)] == ["daily"]
