"""A new logbook: Enter on each of the four pages is enough."""

from __future__ import annotations

import json
import subprocess
from datetime import date
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton

from tests.desktop.audit import audit
from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on
from tubcare.care.model import ElapsedTrigger
from tubcare.desktop.demo_window import demo_command
from tubcare.desktop.first_run import FirstRun
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.plan_page import KEY_ROLE, PlanPage
from tubcare.desktop.sections import FIRST_RUN, SECTIONS
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.tasks import TaskDetail, task_detail, task_list
from tubcare.services.tubs import tubs
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtWidgets import QListWidgetItem
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "new.db"


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return make_window(
        sections=SECTIONS,
        open_logbook=lambda: OpenLogbook(desk_on(path)),
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
    desk = desk_on(path)
    (tub,) = tubs(desk)
    assert tub.state is not None
    assert tub.profile.volume_l == 400
    desk.store.close()


def test_escape_leads_to_an_empty_week_and_nothing_is_written(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    QTest.keyClick(first_run(window), Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: isinstance(window.screens.current, WeekScreen))
    desk = desk_on(path)
    assert tubs(desk) == ()
    desk.store.close()


def test_gallons_are_typed_where_people_count_in_them(
    qtbot: QtBot, make_window: Callable[..., Window], path: Path
) -> None:
    window = make_window(
        sections=SECTIONS,
        open_logbook=lambda: OpenLogbook(desk_on(path)),
        first_run=FIRST_RUN,
        speech=speech_for({}, chosen="en_US", currency_code="USD"),
    )
    screen = first_run(window)
    assert any(label.text().endswith("gal") for label in screen.tub.findChildren(QLabel))
    screen.tub.litres.setText("240")
    for _page in range(4):
        screen.go_on()
    qtbot.waitUntil(lambda: "in its plan" in window.strip.text)
    desk = desk_on(path)
    # 1 US gallon is 3.785411784 L exactly (NIST Handbook 44, appendix C).
    assert tubs(desk)[0].profile.volume_l == pytest.approx(240 * 3.785411784, rel=1e-6)
    desk.store.close()


def test_a_field_that_cannot_be_used_is_told_beside_it_and_kept(window: Window) -> None:
    screen = first_run(window)
    screen.tub.litres.setText("many")
    screen.go_on()
    assert screen.pages.currentIndex() == 0
    assert screen.tub.error_of("volume_l")
    assert screen.tub.litres.text() == "many"


def at_the_plan(screen: FirstRun) -> PlanPage:
    for _page in range(3):
        screen.go_on()
    return screen.plan


def choose(plan: PlanPage, key: str) -> QListWidgetItem:
    items = (plan.list.item(at) for at in range(plan.list.count()))
    item = next(item for item in items if item.data(KEY_ROLE) == key)
    plan.list.setCurrentItem(item)
    return item


def begun(qtbot: QtBot, window: Window, path: Path) -> dict[str, TaskDetail]:
    first_run(window).go_on()
    qtbot.waitUntil(lambda: "in its plan" in window.strip.text)
    settle(qtbot, window)
    desk = desk_on(path)
    found = {line.title: task_detail(desk, line.id) for line in task_list(desk)}
    desk.store.close()
    return found


def test_tasks_are_dropped_changed_and_added_before_the_plan_is_saved(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    plan = at_the_plan(first_run(window))
    choose(plan, "chiller.coil").setCheckState(Qt.CheckState.Unchecked)
    choose(plan, "lid.gasket").setCheckState(Qt.CheckState.Checked)
    choose(plan, "filter.swap")
    plan.task_form.title.setText("Swap the blue cartridge")
    plan.task_form.every.setText("5")
    plan.task_form.every.editingFinished.emit()
    plan.add_own()
    plan.task_form.title.setText("Wipe the bench")
    plan.task_form.title.editingFinished.emit()
    kept = begun(qtbot, window, path)
    assert "Clean the condenser coil" not in kept
    assert {"Clean the lid and its gasket", "Wipe the bench"} <= set(kept)
    swap = kept["Swap the blue cartridge"]
    assert [t.every.count for t in swap.task.triggers if isinstance(t, ElapsedTrigger)] == [5]
    assert kept["Wipe the bench"].template_key is None


def test_what_was_last_done_moves_the_first_date(qtbot: QtBot, window: Window, path: Path) -> None:
    plan = at_the_plan(first_run(window))
    rcd = plan.past.fields["electrics.rcd"]
    rcd.setText("2026-05-01")
    rcd.editingFinished.emit()
    assert "first on Wed, 6 May" not in choose(plan, "electrics.rcd").text()
    kept = begun(qtbot, window, path)
    assert kept["Test the RCD"].task.first_due_on == date(2026, 6, 1)


def test_a_last_time_to_come_is_told_beside_the_field(window: Window) -> None:
    screen = first_run(window)
    plan = at_the_plan(screen)
    plan.past.fields["electrics.rcd"].setText("2026-06-01")
    screen.go_on()
    assert "yet to come" in plan.past.error_of("electrics.rcd")
    assert screen.pages.currentIndex() == 3


def test_going_back_and_on_again_keeps_what_was_changed_in_the_plan(window: Window) -> None:
    screen = first_run(window)
    plan = at_the_plan(screen)
    choose(plan, "chiller.coil").setCheckState(Qt.CheckState.Unchecked)
    screen.menu_actions[0].trigger()
    screen.go_on()
    assert choose(plan, "chiller.coil").checkState() is Qt.CheckState.Unchecked


def test_a_place_in_the_south_is_offered_its_own_summer(window: Window) -> None:
    screen = first_run(window)
    screen.place.latitude.setText("-33.9")
    screen.place.latitude.editingFinished.emit()
    assert screen.place.opens.month_day().month == 10
    screen.place.opens.setText("1 Dec")
    screen.place.latitude.setText("52")
    screen.place.latitude.editingFinished.emit()
    assert screen.place.opens.month_day().month == 12


def test_every_page_holds_what_a_page_must(qtbot: QtBot, window: Window) -> None:
    screen = first_run(window)
    window.resize(1280, 1000)
    for _page in range(3):
        screen.go_on()
        settle(qtbot, window)
        assert audit(window) == []


def test_the_demo_is_offered_on_the_first_page_alone(window: Window) -> None:
    screen = first_run(window)
    assert screen.demo_action.isVisible()
    screen.go_on()
    assert not screen.demo_action.isVisible()


def test_what_opens_the_demo_shows_a_logbook_with_work_in_it() -> None:
    done = subprocess.run(
        [*demo_command(), "week", "--json"], capture_output=True, text=True, check=True
    )
    assert json.loads(done.stdout)


def test_the_first_run_resumes_from_the_section_tub(qtbot: QtBot, window: Window) -> None:
    screen = first_run(window)
    screen.tub.name_entry.setText("Barrel")
    QTest.keyClick(screen, Qt.Key.Key_Escape)
    window.go("tub")
    settle(qtbot, window)
    current = window.screens.current
    assert current is not None
    buttons = current.findChildren(QPushButton)
    next(each for each in buttons if each.text() == "Describe a tub…").click()
    settle(qtbot, window)
    assert first_run(window).tub.name_entry.text() == "Barrel"


def test_the_chosen_task_of_the_plan_says_what_makes_it_due(window: Window) -> None:
    plan = at_the_plan(first_run(window))
    choose(plan, "water.change")
    told = [label.text() for label in plan.task_form.findChildren(QLabel)]
    assert any("100 dips" in text and "whichever comes first" in text for text in told)
