"""The steps of a plan: what their cards show, and ticking them off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from typing_extensions import override

from tests.desktop.conftest import settle
from tests.desktop.desks import desk_on
from tubcare.desktop.water_step_card import StepCard
from tubcare.services.water_cautions import caution_book
from tubcare.services.water_do import do_step
from tubcare.services.water_plan import water_plan

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.water_screen import WaterScreen


class PaintedCards(QObject):
    """Notes, whenever a step is painted, how much higher it should be."""

    def __init__(self) -> None:
        super().__init__()
        self.lacking: list[int] = []

    @override
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(watched, StepCard) and event.type() is QEvent.Type.Paint:
            needed = watched.heightForWidth(watched.width())
            self.lacking.append(max(0, needed - watched.height()))
        return False


def texts(screen: WaterScreen) -> list[str]:
    screen.show_subject("plan")
    return [label.text() for card in screen.plan().cards for label in card.findChildren(QLabel)]


def can_tick(screen: WaterScreen, place: int) -> bool:
    return screen.plan().cards[place].tick.isEnabled()


def test_the_steps_have_their_height_when_they_are_first_painted(
    window: Window, qtbot: QtBot, qapp: QApplication
) -> None:
    painted = PaintedCards()
    qapp.installEventFilter(painted)
    window.go("water", "plan")
    qtbot.waitUntil(lambda: bool(painted.lacking))
    settle(qtbot, window)
    qapp.removeEventFilter(painted)
    assert set(painted.lacking) == {0}


def test_every_step_shows_its_amount_cautions_wait_and_what_to_expect(
    screen: WaterScreen,
) -> None:
    told = texts(screen)
    assert any("of pH minus" in text for text in told)
    assert any("Never let acid meet any chlorine product" in text for text in told)
    assert any(text.startswith("Wait 1") for text in told)
    assert any(text.startswith("Then expect pH") for text in told)


def test_every_card_shows_all_the_cautions_of_its_product(screen: WaterScreen, path: Path) -> None:
    desk = desk_on(path)
    steps = water_plan(desk).steps
    desk.store.close()
    screen.show_subject("plan")
    assert len(screen.plan().cards) == len(steps) >= 2
    for card, planned in zip(screen.plan().cards, steps, strict=True):
        shown = " ".join(label.text() for label in card.findChildren(QLabel))
        assert planned.step.compound is not None
        for caution in caution_book().of(planned.step.compound):
            assert caution.text in shown


def test_space_on_done_ticks_the_next_step_and_undo_opens_it_again(
    qtbot: QtBot, window: Window, screen: WaterScreen, path: Path
) -> None:
    screen.show_subject("plan")
    screen.take_focus()
    assert window.focusWidget() is screen.plan().cards[0].tick
    QTest.keyClick(screen.plan().cards[0].tick, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: "Recorded: Add" in window.strip.text)
    qtbot.waitUntil(lambda: can_tick(screen, 1))
    assert "Done at" in screen.plan().cards[0].tick.text()
    assert "The wait" not in window.strip.text
    window.menus.undo.trigger()
    qtbot.waitUntil(lambda: can_tick(screen, 0))
    desk = desk_on(path)
    assert water_plan(desk).steps[0].done is None
    desk.store.close()


def test_a_step_in_the_wait_of_the_one_before_is_recorded_and_says_until_when_it_runs(
    qtbot: QtBot, window: Window, screen: WaterScreen
) -> None:
    screen.show_subject("plan")
    QTest.mouseClick(screen.plan().cards[0].tick, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: can_tick(screen, 1))
    QTest.mouseClick(screen.plan().cards[1].tick, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "The wait after step 1 runs until" in window.strip.text)
    assert "Recorded: Add" in window.strip.text


def test_a_step_that_was_ticked_elsewhere_is_told_with_who_and_when(
    qtbot: QtBot, screen: WaterScreen, path: Path
) -> None:
    screen.show_subject("plan")
    page = screen.plan()
    shown = page.cards[0]
    other = desk_on(path)
    do_step(other, None, 1)
    other.store.close()
    QTest.mouseClick(shown.tick, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "Step 1 was ticked already, by Ann on" in page.when.told.text())


def test_a_step_is_dated_back_and_a_moment_before_its_test_is_said_beside_it(
    qtbot: QtBot, window: Window, screen: WaterScreen
) -> None:
    screen.show_subject("plan")
    page = screen.plan()
    page.when.day.setText("2026-05-01")
    QTest.mouseClick(page.cards[0].tick, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "before the test" in page.when.told.text())
    page.when.day.setText("2026-05-06")
    page.when.time.setText("12:00")
    QTest.mouseClick(page.cards[0].tick, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "Recorded: Add" in window.strip.text)
    assert page.when.day.text() == ""
