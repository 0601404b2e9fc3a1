"""The section of tasks: the page of one, its steps and history, dropping and bringing back."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from tests.desktop.audit import audit, clipped
from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on, new_desk, window_on
from tests.support.plans import add_task, add_tub
from tubcare.care.model import Category
from tubcare.care.plan_card import Need, Step, TaskCard
from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.tasks_screen import TasksScreen
from tubcare.desktop.tasks_work_form import WorkForm
from tubcare.services.task_edits import TaskDraft, dropped_tasks
from tubcare.services.task_edits import add_task as add_own
from tubcare.services.task_record import task_page
from tubcare.services.tasks import task_list
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_work import record_work

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.services.desk import Desk
    from tubcare.services.task_record import TaskPage

CARD = TaskCard(
    why="Keeps the water fit",
    steps=(
        Step(text="Dose the purge", cautions=("chemicals",)),
        Step(text="Let it run", wait_after_h=12),
        Step(text="Drain"),
    ),
    tools=("hose", "brush"),
    needs=(Need.TUB_EMPTY, Need.TWO_PEOPLE),
    sources=("common practice, no source",),
)


def fill(desk: Desk) -> None:
    tub = add_tub(desk, zone="UTC")
    task = add_own(
        desk,
        TaskDraft(
            tub=tub,
            title="Change the water",
            category=Category.WATER,
            rules={
                "triggers": [{"kind": "elapsed", "every": 30, "period": "day"}],
                "minutes": 90,
            },
            starts_on=date(2026, 3, 1),
            card=CARD,
        ),
    )
    record_work(desk, task, Work(on=date(2026, 4, 1), note="first", cost_minor=300))
    add_task(desk, tub, title="Swap the filter cartridge", starts_on=date(2026, 5, 1))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    desk = new_desk(tmp_path / "a.db")
    fill(desk)
    desk.store.close()
    return tmp_path / "a.db"


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return window_on(make_window, path)


def tasks(qtbot: QtBot, window: Window, choose: str = "change") -> TasksScreen:
    window.go("tasks")
    screen = window.screens.current
    assert isinstance(screen, TasksScreen)
    qtbot.waitUntil(lambda: screen.model.rowCount() > 0)
    QTest.keyClicks(screen.table, choose)
    settle(qtbot, window)
    return screen


def kept(path: Path, title: str = "Change the water") -> TaskPage:
    desk = desk_on(path)
    task = next(line.id for line in task_list(desk) if line.title == title)
    found = task_page(desk, task)
    desk.store.close()
    return found


def texts(screen: TasksScreen) -> str:
    labels = screen.page.findChildren(QLabel)
    return "\n".join(label.text() for label in labels if label.isVisibleTo(screen.page))


def test_the_page_tells_all_of_a_task(qtbot: QtBot, window: Window) -> None:
    screen = tasks(qtbot, window)
    qtbot.waitUntil(lambda: "3. Drain" in texts(screen))
    told = texts(screen)
    missing = [
        part
        for part in (
            "35 days since 1 Apr; every 30 days",
            "late after",
            "tub empty, two people",
            "Usually: 1\u00a0h 30\u00a0min",
            "Keeps the water fit",
            "Tools: hose, brush",
            "Source: common practice, no source",
            "3. Drain",
            "wait 12 hours after the step before",
            "Done 1 time",
        )
        if part not in told
    ]
    assert missing == []
    qtbot.waitUntil(lambda: clipped(window) == [])
    assert "\n".join(audit(window)) == ""


def test_a_caution_stands_beside_its_step(qtbot: QtBot, window: Window) -> None:
    screen = tasks(qtbot, window)
    first, second, _third = screen.page.steps.rows
    assert any("Caution: " in label.text() for label in first.findChildren(QLabel))
    assert not any("Caution: " in label.text() for label in second.findChildren(QLabel))


def test_steps_are_ticked_and_cleared_by_key_and_waits_are_told(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = tasks(qtbot, window)
    for row in screen.page.steps.rows[:2]:
        QTest.keyClick(row.box, Qt.Key.Key_Space)
        settle(qtbot, window)
    first, _second, third = screen.page.steps.rows
    qtbot.waitUntil(lambda: "wait until" in third.note.text())
    assert "Ann" in first.note.text()
    assert [step.done_by for step in kept(path).steps] == ["Ann", "Ann", ""]
    QTest.keyClick(first.box, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "Ann" not in first.note.text())
    assert [step.done_by for step in kept(path).steps] == ["", "Ann", ""]


def test_when_all_steps_are_ticked_the_page_says_what_is_left(
    qtbot: QtBot, window: Window
) -> None:
    screen = tasks(qtbot, window)
    assert not screen.page.steps_end.isVisible()
    for row in screen.page.steps.rows:
        QTest.mouseClick(row.words, Qt.MouseButton.LeftButton)
        settle(qtbot, window)
    assert screen.page.steps_end.isVisible()


def test_a_record_is_changed_and_the_newest_deleted_with_undo(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = tasks(qtbot, window)
    history = screen.page.history
    QTest.keyClick(history.table, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: screen.side.pane.form is not None)
    form = screen.side.pane.form
    assert isinstance(form, WorkForm)
    assert form.note.toPlainText() == "first"
    form.note.setPlainText("first of the year")
    screen.side.pane.keep()
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
    assert [line.note for line in kept(path).history] == ["first of the year"]
    settle(qtbot, window)
    QTest.mouseClick(history.delete_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "is deleted" in window.strip.text)
    assert kept(path).history == ()
    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: "Taken back" in window.strip.text)
    assert len(kept(path).history) == 1


def test_early_work_asks_whether_the_clock_starts_anew(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = tasks(qtbot, window, choose="swap")
    QTest.keyClick(screen.table, Qt.Key.Key_Space)
    qtbot.waitUntil(screen.side.pane.restart_button.isVisible)
    assert "not due before" in screen.side.pane.message.text()
    assert kept(path, "Swap the filter cartridge").history == ()
    QTest.mouseClick(screen.side.pane.restart_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
    found = kept(path, "Swap the filter cartridge")
    assert not found.history[0].extra
    assert found.detail.open is not None
    assert found.detail.open.due_on == date(2026, 6, 5)


def test_extra_work_leaves_the_clock_alone(qtbot: QtBot, window: Window, path: Path) -> None:
    screen = tasks(qtbot, window, choose="swap")
    QTest.keyClick(screen.table, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: screen.side.pane.form is not None)
    screen.side.pane.keep()
    qtbot.waitUntil(screen.side.pane.extra_button.isVisible)
    QTest.mouseClick(screen.side.pane.extra_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "Recorded" in window.strip.text)
    found = kept(path, "Swap the filter cartridge")
    assert found.history[0].extra
    assert found.detail.open is not None
    assert found.detail.open.due_on == date(2026, 5, 31)


def test_a_dropped_task_is_offered_and_comes_back_with_its_history(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    screen = tasks(qtbot, window)
    QTest.keyClick(screen.table, Qt.Key.Key_Delete)
    qtbot.waitUntil(lambda: "Dropped" in window.strip.text)
    settle(qtbot, window)
    assert screen.model.rowCount() == 1
    shift = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.ControlModifier
    QTest.keyClick(screen.table, Qt.Key.Key_N, shift)
    offers = screen.offers
    assert offers is not None
    qtbot.waitUntil(lambda: offers.model.rowCount() > 0)
    qtbot.waitUntil(lambda: clipped(window) == [])
    assert "\n".join(audit(window)) == ""
    assert offers.model.rows[0].title == "Change the water"
    QTest.keyClick(offers.table, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "In the plan" in window.strip.text)
    assert [line.note for line in kept(path).history] == ["first"]
    settle(qtbot, window)
    QTest.keyClick(offers.table, Qt.Key.Key_Escape)
    assert screen.model.rowCount() == 2
    desk = desk_on(path)
    assert dropped_tasks(desk) == ()
    desk.store.close()


def test_a_task_shown_from_another_section_is_chosen(qtbot: QtBot, window: Window) -> None:
    qtbot.waitUntil(lambda: not window.work.busy)
    window.go("tasks", 1)
    screen = window.screens.current
    assert isinstance(screen, TasksScreen)
    settle(qtbot, window)
    assert screen.page.title.text() == "Change the water"


def test_an_empty_plan_says_why_and_offers_the_next_action(
    make_window: Callable[..., Window], qtbot: QtBot, tmp_path: Path
) -> None:
    desk = new_desk(tmp_path / "empty.db")
    add_tub(desk, zone="UTC")
    desk.store.close()
    window = window_on(make_window, tmp_path / "empty.db")
    window.go("tasks")
    screen = window.screens.current
    assert isinstance(screen, TasksScreen)
    settle(qtbot, window)
    shown = [label.text() for label in screen.side.findChildren(QLabel) if label.isVisible()]
    assert "No task in the plan" in shown
    assert not screen.table.isVisible()
    (button,) = [b for b in screen.side.findChildren(ActionButton) if b.isVisible()]
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert screen.editor is not None
    settle(qtbot, window)
