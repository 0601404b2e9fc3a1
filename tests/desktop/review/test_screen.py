"""The year review in the window: periods, views, tables and what is told."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from tests.desktop.audit import audit
from tests.desktop.conftest import settle
from tests.desktop.review.conftest import (
    choose,
    open_desk,
    quiet,
    rows,
)
from tests.support.plans import add_tub
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.review_screen import ReviewScreen
from tubcare.desktop.sections import SECTIONS
from tubcare.services.household import start_logbook

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window


def test_years_and_seasons_are_chosen_by_keyboard(qtbot: QtBot, screen: ReviewScreen) -> None:
    names = [screen.period.itemText(at) for at in range(screen.period.count())]
    assert names == [
        "Year 2026",
        "Year 2025",
        "Season from 10 Apr 2026 (North)",
        "Season from 20 Apr 2025 (North)",
    ]
    assert screen.period.hasFocus()
    QTest.keyClick(screen.period, Qt.Key.Key_Down)
    quiet(qtbot, screen)
    assert "In all" in screen.told.text()


def test_one_tub_is_chosen_where_there_are_several(
    qtbot: QtBot, screen: ReviewScreen, path: Path
) -> None:
    assert not screen.tub.isVisible()
    desk = open_desk(path)
    add_tub(desk, name="South", zone="UTC", opened=date(2026, 4, 10))
    desk.store.close()
    screen.refresh()
    quiet(qtbot, screen)
    assert [screen.tub.itemText(at) for at in range(screen.tub.count())] == [
        "All tubs",
        "North",
        "South",
    ]
    screen.tub.setFocus()
    QTest.keyClicks(screen.tub, "So")
    quiet(qtbot, screen)
    assert screen.told.text().startswith("South alone, without what belongs to no tub.")
    assert set(rows(screen, "tubs")) <= {"South", "In all"}


def test_a_running_season_tells_so_far_the_time_before_forecast_and_budget(
    qtbot: QtBot, screen: ReviewScreen
) -> None:
    choose(qtbot, screen, "Season from 10 Apr 2026")
    told = screen.told.text()
    assert told.startswith("So far €")
    assert "That is €18.80 more than in the same days of the time before, which came to €" in told
    assert "By 9 Apr 2027 likely about €" in told
    assert "Of the budget of €140.00" in told
    assert re.search(r"145 open days, €\d+\.\d\d each\. 20 dips, €\d+\.\d\d each\.", told)


def test_what_was_done_and_missed_stands_for_each_task(qtbot: QtBot, screen: ReviewScreen) -> None:
    choose(qtbot, screen, "Season from 10 Apr 2026")
    tasks = rows(screen, "tasks")
    assert tasks["Swap the filter & rinse <it>"]["Done"] == "4"
    assert tasks["Clean the coil"]["Missed"] == "1"
    assert "Missed most often: Clean the coil (1)." in screen.told.text()


def test_kinds_stand_beside_the_time_before_and_their_budget(
    qtbot: QtBot, screen: ReviewScreen
) -> None:
    choose(qtbot, screen, "Year 2026")
    filters = rows(screen, "kinds")["Filters"]
    before = filters["Same days before"]
    assert (filters["Cost"], before, filters["Change"]) == ("48.00", "40.00", "+8.00")
    assert (filters["Budget"], filters["Left"]) == ("50.00", "2.00")


def test_every_table_adds_up_to_the_sum_that_is_told(qtbot: QtBot, screen: ReviewScreen) -> None:
    for view in range(screen.view.count()):
        screen.view.setCurrentIndex(view)
        quiet(qtbot, screen)
        sums = {
            key: rows(screen, key)["In all"].get("Cost") or rows(screen, key)["In all"]["In all"]
            for key in ("kinds", "tasks", "kind-months", "task-months", "tubs")
        }
        assert len(set(sums.values())) == 1, sums
        assert f"€{sums['kinds']}" in screen.told.text()


def test_price_and_quantity_are_told_in_words_and_in_a_table(
    qtbot: QtBot, screen: ReviewScreen
) -> None:
    choose(qtbot, screen, "Year 2026")
    cartridge = rows(screen, "effects")["Filter cartridge"]
    assert (cartridge["Change"], cartridge["By price"]) == ("+8.00", "+8.00")
    assert "Filter cartridge +€8.00: +€8.00 by price." in screen.why.text()
    assert screen.why.text().startswith("Beside the same days of the time before, what was used")


def test_without_a_period_before_the_review_says_so(qtbot: QtBot, screen: ReviewScreen) -> None:
    choose(qtbot, screen, "Year 2025")
    assert "no period before" in screen.why.text()


def test_the_review_is_whole_for_keyboard_and_screen_reader(
    qtbot: QtBot, screen: ReviewScreen
) -> None:
    for tab in range(screen.tabs.count()):
        screen.tabs.setCurrentIndex(tab)
        quiet(qtbot, screen)
        assert audit(screen.window()) == []


def test_an_empty_logbook_has_a_review_too(
    qtbot: QtBot, make_window: Callable[..., Window], tmp_path: Path
) -> None:
    path = tmp_path / "empty.db"
    desk = open_desk(path)
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    desk.store.close()
    window = make_window(sections=SECTIONS, open_logbook=lambda: OpenLogbook(open_desk(path)))
    window.go("review")
    settle(qtbot, window)
    screen = window.screens.current
    assert isinstance(screen, ReviewScreen)
    assert screen.told.text() == "So far €0.00. 0 done, 0 missed or skipped."
    assert not screen.pages["effects"].isVisible()
    target = tmp_path / "empty.pdf"
    screen.print_to(target)
    qtbot.waitUntil(lambda: str(target) in screen.context.strip.text, timeout=10_000)
    assert target.read_bytes().startswith(b"%PDF-")
    quiet(qtbot, screen)


def test_a_file_that_cannot_be_written_is_told_and_nothing_is_lost(
    qtbot: QtBot, screen: ReviewScreen, tmp_path: Path
) -> None:
    screen.print_to(tmp_path / "nowhere" / "review.pdf")
    qtbot.waitUntil(lambda: bool(screen.context.notices.keys), timeout=10_000)
    told = " ".join(label.text() for label in screen.context.notices.findChildren(QLabel))
    assert "choose another place" in told
    quiet(qtbot, screen)
