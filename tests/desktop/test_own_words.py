"""What comes from the program's own files is read in the language of the window."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from tests.desktop.conftest import settle
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_tub
from tubcare.care.plan_card import Step, TaskCard
from tubcare.care.terms import Category
from tubcare.desktop.first_run import FirstRun
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.power_cautions_page import PowerCautionsPage
from tubcare.desktop.power_screen import PowerScreen
from tubcare.desktop.sections import FIRST_RUN, SECTIONS
from tubcare.desktop.tasks_screen import TasksScreen
from tubcare.desktop.tub_screen import TubScreen
from tubcare.desktop.water_screen import WaterScreen
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.measures import add_readings
from tubcare.services.plans import add_tub_with_plan
from tubcare.services.task_edits import TaskDraft, add_task
from tubcare.services.tasks import task_list
from tubcare.services.water_shelf import put_product
from tubcare.store.open import open_store
from tubcare.values import TubId, TubProfile
from tubcare.water.compounds import Compound
from tubcare.water.products import usual_product
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtWidgets import QWidget
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window

NOW = noon(2026, 5, 6)
GERMAN = speech_for({}, chosen="de_DE", currency_code="EUR")
BAD = {"ph": 8.1, "free_chlorine_mg_l": 0.3, "alkalinity_mg_l": 60.0, "water_c": 6.0}


def open_desk(path: Path) -> Desk:
    return Desk(open_store(path, NOW), StillClock(NOW), "Ann", GERMAN.own)


def begun(path: Path) -> tuple[Desk, TubId]:
    """Return a German desk on a new logbook with one tub, and the tub."""
    desk = open_desk(path)
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    return desk, add_tub(desk, zone="UTC")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "a.db"


@pytest.fixture
def german(make_window: Callable[..., Window], path: Path) -> Callable[[], Window]:
    """Return a call that opens the logbook in a German window."""
    return lambda: make_window(
        sections=SECTIONS,
        speech=GERMAN,
        open_logbook=lambda: OpenLogbook(open_desk(path), GERMAN),
        first_run=FIRST_RUN,
    )


def texts(widget: QWidget) -> str:
    return "\n".join(label.text() for label in widget.findChildren(QLabel) if label.text())


def test_a_german_first_run_draws_a_german_plan(
    qtbot: QtBot, german: Callable[[], Window], path: Path
) -> None:
    window = german()
    screen = window.screens.current
    assert isinstance(screen, FirstRun)
    for _page in range(4):
        QTest.keyClick(screen, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: isinstance(window.screens.current, WeekScreen))
    settle(qtbot, window)
    desk = open_desk(path)
    titles = {line.title for line in task_list(desk)}
    assert {"Wasser messen", "FI-Schutzschalter prüfen", "Filterkartusche wechseln"} <= titles
    assert "Test the water" not in titles
    desk.store.close()


def test_a_plan_drawn_in_english_is_offered_in_german(
    qtbot: QtBot, german: Callable[[], Window], path: Path
) -> None:
    english = Desk(open_store(path, NOW), StillClock(NOW), "Ann")
    start_logbook(english, currency_code="EUR", home_zone="UTC", person="Ann")
    add_tub_with_plan(english, TubProfile(name="North"))
    english.store.close()
    window = german()
    window.go("tub")
    screen = window.screens.current
    assert isinstance(screen, TubScreen)
    screen.show_subject("profile")
    tree = screen.profile().parts
    qtbot.waitUntil(lambda: tree.topLevelItemCount() > 0)
    changed = tree.topLevelItem(0)
    assert changed is not None
    rows = [changed.child(at) for at in range(changed.childCount())]
    offered = {row.text(0): row.text(1) for row in rows if row is not None}
    assert "heißt dann „FI-Schutzschalter prüfen“" in offered["Test the RCD"]


def test_a_dose_stands_beside_its_cautions_in_german(
    qtbot: QtBot, german: Callable[[], Window], path: Path
) -> None:
    desk, tub = begun(path)
    add_readings(desk, tub, BAD)
    put_product(desk, replace(usual_product(Compound.SODIUM_BISULFATE), name="Säure"))
    desk.store.close()
    window = german()
    window.go("water")
    screen = window.screens.current
    assert isinstance(screen, WaterScreen)
    qtbot.waitUntil(lambda: screen.now().model.rowCount() > 0)
    screen.show_subject("plan")
    told = texts(screen.plan().cards[0])
    assert "Lass nie Säure mit einem Chlormittel zusammenkommen" in told
    assert "Gib immer das Mittel ins Wasser, nie Wasser auf das Mittel." in told
    assert "Never" not in told


def test_cautions_of_electricity_and_frost_are_german(
    qtbot: QtBot, german: Callable[[], Window], path: Path
) -> None:
    desk, _tub = begun(path)
    desk.store.close()
    window = german()
    window.go("power")
    screen = window.screens.current
    assert isinstance(screen, PowerScreen)
    screen.show_subject("cautions")
    page = screen.front()
    assert isinstance(page, PowerCautionsPage)
    qtbot.waitUntil(lambda: "zieh den Stecker" in texts(page))
    told = texts(page)
    assert "Vorsicht: Eine laufende Pumpe schützt nur, solange sie läuft" in told
    assert "Quelle: übliche Praxis, keine Quelle" in told
    assert "common practice" not in told


def test_a_task_of_ones_own_keeps_its_words_and_tells_its_cautions_in_german(
    qtbot: QtBot, german: Callable[[], Window], path: Path
) -> None:
    desk, tub = begun(path)
    step = Step(text="Wash the wood", cautions=("electricity",))
    card = TaskCard(why="Reseal the wood", steps=(step,))
    draft = TaskDraft(
        tub=tub,
        title="Change the water",
        category=Category.WATER,
        rules={"triggers": [{"kind": "elapsed", "every": 45, "period": "day"}]},
        starts_on=NOW.date(),
        card=card,
    )
    add_task(desk, draft)
    desk.store.close()
    window = german()
    window.go("tasks")
    screen = window.screens.current
    assert isinstance(screen, TasksScreen)
    qtbot.waitUntil(lambda: "Change the water" in texts(screen))
    told = texts(screen)
    assert "Reseal the wood" in told
    assert "Wash the wood" in told
    assert "Vorsicht: Wasser und Strom töten." in told
