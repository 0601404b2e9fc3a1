"""Details of work beside This week, by keys: record, amend, skip, put off, two people at once."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from tests.desktop.audit import audit, clipped
from tests.desktop.conftest import settle
from tests.desktop.desks import NOW, desk_on, new_desk, window_on
from tests.support.plans import add_task, add_tub
from tests.support.purchases import buy_filters
from tubcare.care.model import Category, InspectionResult
from tubcare.care.plan_card import FollowUp, Need, TaskCard
from tubcare.desktop.tasks_screen import TasksScreen
from tubcare.desktop.tasks_work_form import PutOffForm, SkipForm, WorkForm
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.task_edits import TaskDraft
from tubcare.services.task_edits import add_task as add_own
from tubcare.services.task_record import HistoryLine, task_page
from tubcare.services.tasks import task_list
from tubcare.services.upkeep_put_off import put_off
from tubcare.services.upkeep_tick import tick_off
from tubcare.services.week import this_week
from tubcare.values import TubId

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId

CONTROL = Qt.KeyboardModifier.ControlModifier
TODAY = NOW.date()
DOUBTFUL = FollowUp(result=InspectionResult.DOUBTFUL, title="Mend the hose", within_days=5)


def fill(desk: Desk) -> None:
    tub = add_tub(desk, zone="UTC")
    filters = buy_filters(desk)
    add_task(desk, tub, usual_minor=250, supplies={filters: 1000})
    add_task(desk, tub, title="Clean the condenser coil", category="chiller")
    add_own(
        desk,
        TaskDraft(
            tub=tub,
            title="Look over the hoses",
            category=Category.LINES,
            rules={"triggers": [{"kind": "once", "on": "2026-05-06"}]},
            starts_on=date(2026, 4, 1),
            card=TaskCard(follow_ups=(DOUBTFUL,)),
        ),
    )


@pytest.fixture
def path(tmp_path: Path) -> Path:
    desk = new_desk(tmp_path / "a.db")
    fill(desk)
    desk.store.close()
    return tmp_path / "a.db"


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return window_on(make_window, path)


def week(qtbot: QtBot, window: Window) -> WeekScreen:
    screen = window.screens.current
    assert isinstance(screen, WeekScreen)
    qtbot.waitUntil(lambda: screen.model.rowCount() > 0)
    screen.tree.setFocus()
    return screen


def type_ahead(screen: WeekScreen, letters: str) -> None:
    QTest.keyClicks(screen.tree, letters)


def history(path: Path, title: str) -> tuple[HistoryLine, ...]:
    desk = desk_on(path)
    task = next(line.id for line in task_list(desk) if line.title == title)
    found = task_page(desk, task).history
    desk.store.close()
    return found


def opened(qtbot: QtBot, window: Window, screen: WeekScreen) -> WorkForm:
    qtbot.waitUntil(lambda: screen.side.pane.form is not None)
    settle(qtbot, window)
    form = screen.side.pane.form
    assert isinstance(form, WorkForm)
    return form


def press(window: Window, text: str) -> None:
    button = next(b for b in window.findChildren(QPushButton) if b.text() == text)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_letters_find_a_task_and_space_ticks_it_off(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    type_ahead(screen, "swap")
    QTest.keyClick(screen.tree, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "Swap the filter" in window.strip.text)
    assert [line.cost_minor for line in history(path, "Swap the filter cartridge")] == [750]


def test_work_is_recorded_with_its_day_who_supplies_money_and_note(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    type_ahead(screen, "swap")
    QTest.keyClick(screen.tree, Qt.Key.Key_Return, CONTROL)
    form = opened(qtbot, window, screen)
    qtbot.waitUntil(lambda: clipped(window) == [])
    assert "\n".join(audit(window)) == ""
    form.day.setText("2026-05-04")
    form.person.setCurrentText("Ben")
    form.minutes.setText("20")
    form.cost.setText("4.00")
    form.supplies.rows[0].amount.setText("2")
    form.note.setPlainText("both <b>old</b> ones were grey")
    QTest.keyClick(form.day, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
    (line,) = history(path, "Swap the filter cartridge")
    assert (line.on, line.who, line.minutes) == (date(2026, 5, 4), "Ben", 20)
    assert (line.cost_minor, line.note) == (1400, "both <b>old</b> ones were grey")
    assert not screen.side.pane.isVisible()


def test_a_field_that_cannot_be_used_says_so_beside_it_and_nothing_is_recorded(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    type_ahead(screen, "swap")
    QTest.keyClick(screen.tree, Qt.Key.Key_Return, CONTROL)
    form = opened(qtbot, window, screen)
    form.day.setText("2026-06-30")
    screen.side.pane.keep()
    qtbot.waitUntil(lambda: bool(form.error_of("date")))
    assert "yet to come" in form.error_of("date")
    form.day.setText("2026-05-04")
    form.supplies.rows[0].amount.setText("0")
    screen.side.pane.keep()
    assert "above zero" in form.error_of("quantity_milli")
    assert history(path, "Swap the filter cartridge") == ()
    QTest.keyClick(form.day, Qt.Key.Key_Escape)
    assert not screen.side.pane.isVisible()


def test_details_in_the_strip_open_what_was_recorded_and_change_it(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    type_ahead(screen, "swap")
    QTest.keyClick(screen.tree, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
    settle(qtbot, window)
    press(window, "Details")
    form = opened(qtbot, window, screen)
    assert form.cost.text() == "2.50"
    form.cost.setText("")
    form.supplies.fill({})
    screen.side.pane.keep()
    qtbot.waitUntil(lambda: not screen.side.pane.isVisible())
    assert [line.cost_minor for line in history(path, "Swap the filter cartridge")] == [0]


def test_what_an_inspection_found_opens_a_follow_up_task(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    type_ahead(screen, "look")
    QTest.keyClick(screen.tree, Qt.Key.Key_Return, CONTROL)
    form = opened(qtbot, window, screen)
    assert form.result is not None
    form.result.setCurrentText("doubtful")
    screen.side.pane.keep()
    qtbot.waitUntil(lambda: "Mend the hose" in window.strip.text)
    desk = desk_on(path)
    assert [i.occurrence.due_on for i in this_week(desk).later if i.title == "Mend the hose"] == [
        date(2026, 5, 11)
    ]
    desk.store.close()


def test_an_inspection_ticked_off_plainly_asks_what_was_found(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    type_ahead(screen, "look")
    QTest.keyClick(screen.tree, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "What did you find?" in window.strip.text)
    settle(qtbot, window)
    press(window, "Details")
    form = opened(qtbot, window, screen)
    assert form.result is not None
    form.result.setCurrentText("doubtful")
    screen.side.pane.keep()
    qtbot.waitUntil(lambda: "Mend the hose" in window.strip.text)
    (line,) = history(path, "Look over the hoses")
    assert line.result is InspectionResult.DOUBTFUL


def test_one_occurrence_is_skipped_with_a_reason(qtbot: QtBot, window: Window, path: Path) -> None:
    screen = week(qtbot, window)
    type_ahead(screen, "clean")
    QTest.keyClick(screen.tree, Qt.Key.Key_K, CONTROL)
    qtbot.waitUntil(lambda: isinstance(screen.side.pane.form, SkipForm))
    form = screen.side.pane.form
    assert isinstance(form, SkipForm)
    screen.side.pane.keep()
    assert form.error_of("reason")
    form.reason.setText("away")
    QTest.keyClick(form.reason, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Skipped" in window.strip.text)
    (line,) = history(path, "Clean the condenser coil")
    assert (line.skipped, line.note) == (True, "away")


def test_one_occurrence_is_put_off_to_a_chosen_day(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    type_ahead(screen, "clean")
    QTest.keyClick(screen.tree, Qt.Key.Key_T, CONTROL | Qt.KeyboardModifier.ShiftModifier)
    qtbot.waitUntil(lambda: isinstance(screen.side.pane.form, PutOffForm))
    form = screen.side.pane.form
    assert isinstance(form, PutOffForm)
    form.day.setText("2026-05-01")
    screen.side.pane.keep()
    assert "after today" in form.error_of("date")
    form.day.setText("2026-05-19")
    QTest.keyClick(form.day, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Put off to" in window.strip.text)
    desk = desk_on(path)
    assert date(2026, 5, 19) in {i.occurrence.due_on for i in this_week(desk).later}
    desk.store.close()
    assert window.notices.keys == ()


def swap_of(desk: Desk) -> tuple[TaskId, str]:
    week = this_week(desk)
    item = next(i for i in (*week.late, *week.due_today) if i.title.startswith("Swap"))
    return item.task, item.occurrence.key


def put_off_twice(qtbot: QtBot, window: Window, path: Path) -> tuple[WeekScreen, TaskId]:
    """Put the swap off elsewhere, then here: the window asks whether its rule fits."""
    screen = week(qtbot, window)
    desk = desk_on(path)
    task, key = swap_of(desk)
    put_off(desk, task, key, date(2026, 5, 7))
    desk.store.close()
    screen.refresh()
    settle(qtbot, window)
    type_ahead(screen, "swap")
    QTest.keyClick(screen.tree, Qt.Key.Key_T, CONTROL)
    qtbot.waitUntil(lambda: bool(window.notices.keys))
    return screen, task


def test_a_second_put_off_in_a_row_asks_without_standing_in_the_way(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen, task = put_off_twice(qtbot, window, path)
    assert screen.tree.hasFocus()
    press(window, "Drop it")
    qtbot.waitUntil(lambda: "Dropped" in window.strip.text)
    desk = desk_on(path)
    assert task not in {line.id for line in task_list(desk)}
    desk.store.close()


def test_a_longer_interval_is_one_answer_away_from_the_editor(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    put_off_twice(qtbot, window, path)
    press(window, "Longer interval")
    tasks = window.screens.current
    assert isinstance(tasks, TasksScreen)
    qtbot.waitUntil(lambda: tasks.editor is not None)


def test_of_two_people_the_second_is_told_who_was_first_and_when(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    desk = desk_on(path, "Ben")
    tick_off(desk, *swap_of(desk))
    desk.store.close()
    type_ahead(screen, "swap")
    QTest.keyClick(screen.tree, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: bool(window.notices.keys))
    told = [label.text() for label in window.notices.findChildren(type(screen.title))]
    assert any("Ben" in text and "12:00" in text for text in told)
    assert len(history(path, "Swap the filter cartridge")) == 1
    press(window, "Record as extra work")
    form = opened(qtbot, window, screen)
    form.supplies.fill({})
    screen.side.pane.keep()
    qtbot.waitUntil(screen.side.pane.extra_button.isVisible)
    QTest.mouseClick(screen.side.pane.extra_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
    assert [line.extra for line in history(path, "Swap the filter cartridge")] == [True, False]


def test_the_second_is_told_while_filling_in_the_details_too(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    type_ahead(screen, "swap")
    QTest.keyClick(screen.tree, Qt.Key.Key_Return, CONTROL)
    opened(qtbot, window, screen)
    desk = desk_on(path, "Ben")
    tick_off(desk, *swap_of(desk))
    desk.store.close()
    screen.side.pane.keep()
    qtbot.waitUntil(screen.side.pane.message.isVisible)
    assert "Ben" in screen.side.pane.message.text()
    assert screen.side.pane.extra_button.isVisible()


def test_work_that_needs_the_tub_empty_stands_together(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    desk = desk_on(path)
    for title, on in (("Change the water", "2026-05-06"), ("Wash the liner", "2026-06-20")):
        add_own(
            desk,
            TaskDraft(
                tub=TubId(1),
                title=title,
                category=Category.LINER,
                rules={"triggers": [{"kind": "once", "on": on}]},
                starts_on=date(2026, 4, 1),
                card=TaskCard(needs=(Need.TUB_EMPTY,)),
            ),
        )
    desk.store.close()
    screen.refresh()
    settle(qtbot, window)
    groups = [screen.model.item(at) for at in range(screen.model.rowCount())]
    (together,) = [group for group in groups if group.text() == "While North is empty"]
    assert together.child(0).text() == "Wash the liner"


def test_a_note_that_is_too_long_and_money_below_zero_are_told_beside_them(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = week(qtbot, window)
    type_ahead(screen, "swap")
    QTest.keyClick(screen.tree, Qt.Key.Key_Return, CONTROL)
    form = opened(qtbot, window, screen)
    form.cost.setText("-4")
    screen.side.pane.keep()
    assert form.error_of("minor")
    form.cost.setText("")
    form.note.setPlainText("x" * 10_001)
    screen.side.pane.keep()
    qtbot.waitUntil(lambda: bool(form.error_of("note")))
    assert "10000" in form.error_of("note")
    assert history(path, "Swap the filter cartridge") == ()
