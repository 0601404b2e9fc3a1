"""The state of a tub, and its procedures, step by step."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from tests.desktop.audit import audit, clipped
from tests.desktop.conftest import said, settle
from tests.desktop.tub_windows import NOW, desk_of, logbook_with, tub_screen
from tests.support.clocks import StillClock
from tubcare.care.model import TubState
from tubcare.desktop.calendar_words import season_sentence
from tubcare.desktop.season_words import season_text
from tubcare.desktop.tub_screen import TubScreen
from tubcare.services.calendar_season import SeasonNow as CalendarNow
from tubcare.services.tub_states import SeasonNow, StateRecord, state_history
from tubcare.services.tubs import tubs

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.words.locale import Speech

Shown = tuple["Window", TubScreen]


@pytest.fixture
def clock() -> StillClock:
    return StillClock(NOW)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return logbook_with(tmp_path / "a.db", "North")


@pytest.fixture
def shown(
    qtbot: QtBot, make_window: Callable[..., Window], path: Path, clock: StillClock
) -> Shown:
    window, screen = tub_screen(qtbot, make_window, path, clock)
    screen.show_subject("season")
    settle(qtbot, window)
    return window, screen


def history(path: Path) -> tuple[StateRecord, ...]:
    desk = desk_of(path)
    found = state_history(desk, tubs(desk)[0].id)
    desk.store.close()
    return found


def choose(screen: TubScreen, beginning: str) -> None:
    choice = screen.season().procedures.choice
    at = next(at for at in range(choice.count()) if choice.itemText(at).startswith(beginning))
    screen.season().procedures.choose(choice.itemData(at))


def test_the_page_holds_what_every_page_must(qtbot: QtBot, shown: Shown) -> None:
    window, screen = shown
    # Layouts follow a turn of the loop after the words that they hold.
    qtbot.waitUntil(lambda: clipped(window) == [])
    assert audit(window) == []
    assert "open since 6 May 2026" in screen.season().told.text()


def test_a_state_is_entered_on_a_day_and_shown_in_words(
    qtbot: QtBot, shown: Shown, path: Path, clock: StillClock
) -> None:
    window, screen = shown
    clock.set(date(2026, 5, 12))
    season = screen.season()
    season.state.setCurrentIndex(season.state.findData(TubState.PAUSED.value))
    season.day.setText("2026-05-10")
    season.note.setText("Away")
    season.change_state()
    assert "North is paused" in said(qtbot, window)
    newest = history(path)[0]
    assert (newest.state, newest.on, newest.note) == (TubState.PAUSED, date(2026, 5, 10), "Away")
    qtbot.waitUntil(lambda: "paused since 10 May" in season.told.text())
    assert season.state.findData(TubState.PAUSED.value) == -1


def test_a_day_to_come_is_refused_beside_the_field(qtbot: QtBot, shown: Shown) -> None:
    _window, screen = shown
    screen.season().day.setText("2026-06-01")
    screen.season().change_state()
    qtbot.waitUntil(lambda: "yet to come" in screen.season().box.form.error_of("date"))
    assert screen.season().day.text() == "2026-06-01"


def test_a_change_before_a_later_one_is_refused_and_the_later_one_can_be_deleted(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    season = screen.season()
    season.day.setText("2026-05-01")
    season.change_state()
    qtbot.waitUntil(lambda: "later change" in season.box.told.text())
    season.table.selectRow(0)
    season.delete_action.trigger()
    assert "Deleted: open" in said(qtbot, window)
    assert history(path) == ()


def test_steps_are_ticked_by_key_and_the_next_one_waits(
    qtbot: QtBot, shown: Shown, clock: StillClock
) -> None:
    window, screen = shown
    choose(screen, "Close the tub")
    steps = screen.season().procedures.steps
    QTest.keyClick(steps.boxes[0], Qt.Key.Key_Space)
    assert "Recorded: step 1 of “Close the tub for the winter”" in said(qtbot, window)
    qtbot.waitUntil(lambda: "waiting until" in steps.boxes[1].accessibleDescription())
    assert "Done" in steps.boxes[0].accessibleDescription()
    qtbot.waitUntil(lambda: clipped(window) == [])
    clock.go(days=3)
    screen.refresh()
    settle(qtbot, window)
    assert "This comes next." in steps.boxes[1].accessibleDescription()


def test_a_caution_stands_beside_its_step(shown: Shown) -> None:
    _window, screen = shown
    choose(screen, "Close the tub")
    unplug = screen.season().procedures.steps.boxes[3]
    assert "unplug" in unplug.accessibleName()
    assert "licensed" in unplug.accessibleDescription()


def test_finishing_all_steps_closes_the_tub_and_one_undo_opens_it_again(
    qtbot: QtBot, shown: Shown, path: Path, clock: StillClock
) -> None:
    window, screen = shown
    clock.set(date(2026, 10, 30))
    screen.refresh()
    settle(qtbot, window)
    choose(screen, "Close the tub")
    procedures = screen.season().procedures
    for place in range(len(procedures.steps.boxes)):
        assert not procedures.finish_button.isEnabled()
        procedures.steps.boxes[place].click()
        assert f"step {place + 1} of" in said(qtbot, window)
    assert procedures.finish_button.text() == "Finish: the tub is closed"
    procedures.finish_button.click()
    assert "The tub is closed now." in said(qtbot, window)
    assert history(path)[0].state is TubState.CLOSED
    window.menus.undo.trigger()
    assert "Taken back" in said(qtbot, window)
    assert history(path)[0].state is TubState.OPEN


def test_a_logbook_without_tubs_says_so_and_offers_to_describe_one(
    qtbot: QtBot, make_window: Callable[..., Window], tmp_path: Path
) -> None:
    window, screen = tub_screen(qtbot, make_window, logbook_with(tmp_path / "empty.db"))
    assert not screen.dip_action.isEnabled()
    assert audit(window) == []
    button = next(
        each for each in screen.findChildren(QPushButton) if each.text() == "Describe a tub…"
    )
    button.click()
    settle(qtbot, window)
    assert screen.new_tub.isVisible()


def test_closing_by_hand_tells_of_the_procedure_that_is_not_finished(
    qtbot: QtBot, shown: Shown, path: Path
) -> None:
    window, screen = shown
    choose(screen, "Close the tub")
    screen.season().procedures.steps.boxes[0].click()
    assert "step 1 of" in said(qtbot, window)
    season = screen.season()
    season.state.setCurrentIndex(season.state.findData(TubState.CLOSED.value))
    season.change_state()
    assert "“Close the tub for the winter” has 12 steps left" in said(qtbot, window)
    assert history(path)[0].state is TubState.CLOSED


def test_a_procedure_tells_its_needs_tools_and_supplies(shown: Shown) -> None:
    _window, screen = shown
    choose(screen, "Close the tub")
    told = screen.season().procedures.told.text()
    assert "Needs: tub empty" in told
    assert "Tools: " in told
    assert "Uses: Line purge and Sodium thiosulfate." in told


def test_a_step_that_was_done_before_counts_its_waiting_time_from_then(
    qtbot: QtBot, shown: Shown, clock: StillClock
) -> None:
    window, screen = shown
    clock.set(date(2026, 5, 9))
    screen.refresh()
    settle(qtbot, window)
    choose(screen, "Close the tub")
    procedures = screen.season().procedures
    procedures.when.day.setText("2026-05-06")
    procedures.when.time.setText("8:00")
    procedures.steps.boxes[0].click()
    assert "step 1 of" in said(qtbot, window)
    assert "6 May" in procedures.steps.boxes[0].accessibleDescription()
    assert "This comes next." in procedures.steps.boxes[1].accessibleDescription()
    assert procedures.when.day.text() == ""


def test_a_step_cannot_be_done_on_a_day_to_come(shown: Shown) -> None:
    _window, screen = shown
    choose(screen, "Close the tub")
    procedures = screen.season().procedures
    procedures.when.day.setText("2026-05-20")
    procedures.steps.boxes[0].click()
    assert "yet to come" in procedures.when.told.text()
    assert not procedures.steps.boxes[0].isChecked()


def test_the_page_shows_by_itself_that_a_waiting_time_is_over(
    qtbot: QtBot, shown: Shown, clock: StillClock
) -> None:
    window, screen = shown
    choose(screen, "Close the tub")
    procedures = screen.season().procedures
    procedures.steps.boxes[0].click()
    assert "step 1 of" in said(qtbot, window)
    clock.go(hours=48 - 1 / 3600)
    screen.refresh()
    settle(qtbot, window)
    assert "waiting until" in procedures.steps.boxes[1].accessibleDescription()
    clock.go(hours=2 / 3600)
    qtbot.waitUntil(
        lambda: "This comes next." in procedures.steps.boxes[1].accessibleDescription()
    )


def test_a_closing_that_has_passed_is_told_as_one_that_was_planned(speech: Speech) -> None:
    now = SeasonNow(
        today=date(2026, 11, 25),
        state=TubState.OPEN,
        since=date(2026, 4, 20),
        first=date(2026, 4, 20),
        days_open=219,
        ends_on=date(2026, 10, 31),
    )
    assert season_text(speech, now).endswith("The closing was planned for 31 Oct 2026.")
    calendar = CalendarNow(
        tub_name="North",
        state=TubState.OPEN,
        since=date(2026, 4, 20),
        next_turn=None,
        was_to_close=date(2026, 10, 31),
    )
    told = season_sentence(speech, calendar, date(2026, 11, 25))
    assert told == "North: open since 20 Apr 2026, was to close on 31 Oct"
