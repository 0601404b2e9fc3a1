"""The week of a thousand mixed tasks: from the file to the list on the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QEventLoop

from tests.support.bench import FULL, beside
from tests.support.clocks import StillClock
from tests.support.mixed_plan import NOON, keep
from tubcare.desktop.keeping import Keeping
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.shell import Parts, Window
from tubcare.desktop.theme import Theme
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.desk import Desk
from tubcare.services.household import start_logbook
from tubcare.services.week import this_week
from tubcare.store.open import open_store
from tubcare.words.locale import speech_for

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication
    from pytestqt.qtbot import QtBot

SIZE = 1000 if FULL else 30
ROUNDS = 40 if FULL else 1
#: A tick every two weeks, as of a task that is done often.
TICKS_A_YEAR = 26

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


def open_desk(path: Path) -> Desk:
    return Desk(open_store(path, NOON), StillClock(NOON), "Ann")


def logbook(path: Path, *, years: int) -> Desk:
    desk = open_desk(path)
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    keep(desk, SIZE, years, TICKS_A_YEAR)
    return desk


def test_ten_years_of_ticks_cost_the_week_what_one_year_costs(tmp_path: Path) -> None:
    old = logbook(tmp_path / "old.db", years=10 if FULL else 3)
    young = logbook(tmp_path / "young.db", years=1)
    figure = beside(lambda: this_week(old), lambda: this_week(young), ROUNDS)
    figure.told(f"this week of {SIZE} tasks, ten years of ticks", "one year")
    old.store.close()
    young.store.close()
    if FULL:
        assert figure.ratio <= 1.2
        assert figure.best_ms < 150


@pytest.fixture
def screen(qtbot: QtBot, qapp: QApplication, tmp_path: Path) -> Iterator[WeekScreen]:
    path = tmp_path / "a.db"
    logbook(path, years=10 if FULL else 1).store.close()
    keeping = Keeping(tmp_path / "window.ini")
    window = Window(
        Parts(
            sections=SECTIONS,
            open_logbook=lambda: OpenLogbook(open_desk(path)),
            theme=(theme := Theme(qapp, keeping)),
            keeping=keeping,
            speech=speech_for({}, chosen="en_GB", currency_code="EUR"),
        )
    )
    with qtbot.waitSignal(window.opened, timeout=20_000):
        window.show()
    qtbot.waitUntil(lambda: not window.work.busy, timeout=20_000)
    shown = window.screens.current
    assert isinstance(shown, WeekScreen)
    yield shown
    window.close()
    theme.close()


def read_and_painted(screen: WeekScreen) -> Callable[[], None]:
    """Return what reads the week anew in the background, shows it, and waits for its picture."""

    def run() -> None:
        loop = QEventLoop()
        # The first rows come in the one call that also puts in all others.
        screen.model.rowsInserted.connect(loop.quit)
        screen.refresh()
        loop.exec()
        screen.model.rowsInserted.disconnect(loop.quit)
        screen.tree.viewport().repaint()

    return run


def test_a_thousand_tasks_from_the_file_to_the_screen(screen: WeekScreen) -> None:
    desk = screen.context.desk
    figure = beside(read_and_painted(screen), lambda: this_week(desk), ROUNDS)
    shown = sum(screen.model.item(at).rowCount() for at in range(screen.model.rowCount()))
    figure.told(f"{SIZE} tasks, {shown} of them on the screen", "the service alone")
    assert shown > SIZE / 5
    if FULL:
        assert figure.best_ms < 150
