"""The section Water on a real logbook, driven by keys and the mouse."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from pyqtgraph import TextItem
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from typing_extensions import override

from tests.desktop.audit import audit, clipped
from tests.desktop.conftest import settle
from tests.support.clocks import StillClock, noon
from tests.support.plans import add_task, add_tub
from tubcare.desktop.opened import OpenLogbook
from tubcare.desktop.plotting import Plot
from tubcare.desktop.sections import SECTIONS
from tubcare.desktop.tub_screen import TubScreen
from tubcare.desktop.water_screen import WaterScreen
from tubcare.desktop.water_step_card import StepCard
from tubcare.desktop.week_screen import WeekScreen
from tubcare.services.desk import Desk
from tubcare.services.history import undo
from tubcare.services.household import start_logbook
from tubcare.services.measures import add_readings
from tubcare.services.meters import add_fill
from tubcare.services.records import RecordKind
from tubcare.services.tubs import tubs
from tubcare.services.water_cautions import caution_book
from tubcare.services.water_do import do_step
from tubcare.services.water_dose import add_dose
from tubcare.services.water_entry import Entry, add_test
from tubcare.services.water_kit import change_kit
from tubcare.services.water_plan import water_plan
from tubcare.services.water_shelf import put_product
from tubcare.services.water_supplies import water_shelf
from tubcare.store.open import open_store
from tubcare.water.compounds import Compound
from tubcare.water.kit import Kit
from tubcare.water.products import usual_product

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.water_course_page import WaterCoursePage

NOW = noon(2026, 5, 6)
BAD = {"ph": 8.1, "free_chlorine_mg_l": 0.3, "alkalinity_mg_l": 60.0, "water_c": 6.0, "clarity": 1}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "a.db"
    store = open_store(path, NOW)
    desk = Desk(store, StillClock(NOW), "Ann")
    start_logbook(desk, currency_code="EUR", home_zone="UTC", person="Ann")
    add_readings(desk, add_tub(desk, zone="UTC"), BAD)
    put_product(desk, replace(usual_product(Compound.SODIUM_BISULFATE), name="pH minus"))
    put_product(desk, replace(usual_product(Compound.SODIUM_HYPOCHLORITE), name="Bleach"))
    store.close()
    return path


def open_desk(path: Path) -> Desk:
    return Desk(open_store(path, NOW), StillClock(NOW), "Ann")


@pytest.fixture
def window(make_window: Callable[..., Window], path: Path) -> Window:
    return make_window(sections=SECTIONS, open_logbook=lambda: OpenLogbook(open_desk(path)))


@pytest.fixture
def screen(qtbot: QtBot, window: Window) -> WaterScreen:
    window.go("water")
    found = window.screens.current
    assert isinstance(found, WaterScreen)
    qtbot.waitUntil(lambda: found.now().model.rowCount() > 0)
    return found


def cells(screen: WaterScreen, row: int) -> list[str]:
    model = screen.now().model
    return [str(model.data(model.index(row, at))) for at in range(model.columnCount())]


def test_readings_outside_come_first_with_word_and_distance(screen: WaterScreen) -> None:
    first, second = cells(screen, 0), cells(screen, 1)
    assert first[:3] == ["pH", "8.1", "Above by 0.3"]
    assert second[:3] == [
        "Free chlorine",
        "0.3\N{NO-BREAK SPACE}mg/L",
        "Below by 0.7\N{NO-BREAK SPACE}mg/L",
    ]
    assert "MAHC" in first[4]


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


def test_the_facts_tell_readings_age_and_wait_and_never_a_verdict(screen: WaterScreen) -> None:
    told = screen.now().facts.text()
    assert "2 readings lie outside the tub's ranges." in told
    assert "No waiting time after a dose is running." in told
    assert "hazy" in told
    assert "safe" not in told.casefold()


def test_the_index_is_told_with_what_it_means_for_the_liner(screen: WaterScreen) -> None:
    assert "Saturation index" in screen.now().scale.text()
    assert "6\N{NO-BREAK SPACE}°C" in screen.now().scale.text()
    assert "calcium hardness 80" in screen.now().assumed.text()


def test_the_question_is_answered_with_facts(screen: WaterScreen) -> None:
    assert screen.now().question.text() == "May we step in? What is known:"
    assert screen.now().facts.isVisible()


def test_wear_of_the_water_and_exposure_of_the_liner_are_told(screen: WaterScreen) -> None:
    assert "next change of water" in screen.now().wear.text()
    assert "Since the opening" in screen.now().liner.text()
    assert "not known" in screen.now().liner.text()


def texts(screen: WaterScreen) -> list[str]:
    screen.show_subject("plan")
    return [label.text() for card in screen.plan().cards for label in card.findChildren(QLabel)]


def can_tick(screen: WaterScreen, place: int) -> bool:
    return screen.plan().cards[place].tick.isEnabled()


def test_every_step_shows_its_amount_cautions_wait_and_what_to_expect(
    screen: WaterScreen,
) -> None:
    told = texts(screen)
    assert any("of pH minus" in text for text in told)
    assert any("Never let acid meet any chlorine product" in text for text in told)
    assert any(text.startswith("Wait 1") for text in told)
    assert any(text.startswith("Then expect pH") for text in told)


def test_every_card_shows_all_the_cautions_of_its_product(screen: WaterScreen, path: Path) -> None:
    desk = open_desk(path)
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
    desk = open_desk(path)
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
    other = open_desk(path)
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


def test_something_else_that_was_added_is_written_down_beside_its_cautions(
    qtbot: QtBot, window: Window, screen: WaterScreen
) -> None:
    screen.show_subject("plan")
    form = screen.plan().other
    form.product.setCurrentIndex(form.product.findText("Bleach [ml]"))
    assert "Never mix with another kind of chlorine" in form.cautions.text()
    form.amount.setText("20")
    form.day.setText("2026-05-07")
    QTest.keyClick(form.amount, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(form.form.error_of("date")))
    form.day.setText("2026-05-06")
    QTest.keyClick(form.amount, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Recorded: 20" in window.strip.text)
    assert form.day.text() == ""
    qtbot.waitUntil(lambda: "Added since the test" in screen.plan().remarks.text())


def test_a_dose_is_deleted_where_the_records_are_and_comes_back_by_undo(
    qtbot: QtBot, window: Window, screen: WaterScreen, path: Path
) -> None:
    desk = open_desk(path)
    tub = tubs(desk)[0].id
    add_dose(desk, tub, "Bleach", 20.0)
    desk.store.close()
    screen.show_subject("plan")
    screen.plan().records_action.trigger()
    tub_screen = window.screens.current
    assert isinstance(tub_screen, TubScreen)
    page = tub_screen.quick()
    qtbot.waitUntil(lambda: page.model.rowCount() > 0)
    qtbot.waitUntil(lambda: page.table.choose((RecordKind.DOSE, 1)))
    assert page.table.current_row is not None
    page.delete_action.trigger()
    qtbot.waitUntil(lambda: "Deleted: Added: Bleach, 20" in window.strip.text)
    desk = open_desk(path)
    assert water_plan(desk).other_doses == ()
    undo(desk)
    assert water_plan(desk).other_doses == ("Bleach",)
    desk.store.close()


def test_products_that_must_never_meet_are_named_above_the_shelf(screen: WaterScreen) -> None:
    screen.show_subject("shelf")
    told = screen.shelf().apart.text()
    assert "Bleach and pH minus" in told
    assert "toxic gas" in told


def test_a_product_is_kept_from_its_form_and_a_bad_strength_is_said_beside_it(
    qtbot: QtBot, window: Window, screen: WaterScreen, path: Path
) -> None:
    screen.show_subject("shelf")
    form = screen.shelf().product_form
    assert form is not None
    form.name.setText("Soda")
    form.compound.setCurrentIndex(form.compound.findData(Compound.SODA_ASH.value))
    form.strength.setText("140")
    QTest.keyClick(form.strength, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bool(form.error_of("strength")))
    form.strength.setText("99")
    QTest.keyClick(form.strength, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Kept: Soda" in window.strip.text)
    desk = open_desk(path)
    assert "Soda" in {each.label.name for each in water_shelf(desk).products}
    desk.store.close()


def test_a_range_is_edited_with_a_warning_before_and_after_it_is_loosened(
    qtbot: QtBot, window: Window, screen: WaterScreen
) -> None:
    screen.show_subject("ranges")
    page = screen.ranges()
    assert page.table.choose("ph")
    assert page.ends["high"].text() == "7.8"
    page.ends["high"].setText("8.4")
    assert "8.4 lies beyond the document's 7.8" in page.warning.text()
    QTest.keyClick(page.ends["high"], Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "The range is kept. Loosened" in window.strip.text)
    screen.show_subject("now")
    qtbot.waitUntil(
        lambda: "inside" in cells(screen, screen.now().model.row_of("ph"))[2].casefold()
    )
    page.reset()
    qtbot.waitUntil(lambda: "holds again" in window.strip.text)


def test_ends_out_of_order_are_refused_beside_their_field(
    qtbot: QtBot, window: Window, screen: WaterScreen
) -> None:
    screen.show_subject("ranges")
    page = screen.ranges()
    page.table.choose("ph")
    page.ends["low"].setText("17")
    QTest.keyClick(page.ends["low"], Qt.Key.Key_Return)
    settle(qtbot, window)
    assert page.form.error_of("low")


def test_the_course_is_a_chart_with_a_table_of_what_was_measured_and_expected(
    qtbot: QtBot, window: Window, screen: WaterScreen
) -> None:
    screen.show_subject("course")
    page = screen.course()
    assert [page.quantities.itemText(at) for at in range(2)] == ["pH", "Alkalinity"]
    qtbot.waitUntil(lambda: "Test again by" in " ".join(told(page)))
    page.quantities.setCurrentIndex(page.quantities.findData("free_chlorine"))
    page.quantities.activated.emit(page.quantities.currentIndex())
    qtbot.waitUntil(lambda: "is not known yet" in " ".join(told(page)))
    qtbot.waitUntil(lambda: not window.work.busy)


def test_what_was_added_is_named_at_the_foot_of_the_course(
    qtbot: QtBot, screen: WaterScreen, path: Path
) -> None:
    desk = open_desk(path)
    add_dose(desk, None, "Bleach", 20.0)
    add_fill(desk, None, 120.0)
    desk.store.close()
    screen.refresh()
    screen.show_subject("course")
    page = screen.course()
    bleach, water = "A = Bleach", "B = water changed"
    qtbot.waitUntil(lambda: any(bleach in text and water in text for text in told(page)))
    qtbot.waitUntil(lambda: bool(page.findChildren(Plot)))
    (plot,) = page.findChildren(Plot)
    signs = [item.toPlainText() for item in plot.plotItem.items if isinstance(item, TextItem)]
    assert signs == ["A\nB"]


def told(page: WaterCoursePage) -> list[str]:
    return [label.text().replace("\N{NO-BREAK SPACE}", " ") for label in page.findChildren(QLabel)]


def test_a_file_is_mapped_looked_at_and_taken_over_in_the_window(
    qtbot: QtBot, window: Window, screen: WaterScreen, tmp_path: Path
) -> None:
    file = tmp_path / "in.csv"
    file.write_text("day,acidity\n2026-05-01,7.4\n2026-05-03,7.5\n", encoding="utf-8")
    screen.show_subject("files")
    page = screen.files()
    page.open(file)
    qtbot.waitUntil(lambda: len(page.columns) == 2)
    assert not page.take.isEnabled()
    _name, holds, _unit = page.columns[1]
    holds.setCurrentIndex(holds.findData("ph"))
    holds.activated.emit(holds.currentIndex())
    qtbot.waitUntil(page.take.isEnabled)
    assert "2 new values" in page.told.text()
    QTest.mouseClick(page.take, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "2 values taken over" in window.strip.text)
    out = tmp_path / "out.csv"
    page.export_to(out)
    qtbot.waitUntil(lambda: "Written" in window.strip.text)
    assert len(out.read_text(encoding="utf-8-sig").splitlines()) == 4


def test_a_band_written_to_a_file_is_offered_back_end_by_end(
    qtbot: QtBot, screen: WaterScreen, path: Path, tmp_path: Path
) -> None:
    desk = open_desk(path)
    change_kit(desk, None, Kit(fields=("ph",), strips={"ph": (6.8, 7.2, 7.8)}))
    add_test(desk, None, Entry(colours={"ph": 1}))
    desk.store.close()
    out = tmp_path / "out.csv"
    screen.show_subject("files")
    page = screen.files()
    page.export_to(out)
    qtbot.waitUntil(out.exists)
    page.open(out)
    qtbot.waitUntil(lambda: len(page.columns) > 2)
    held = {column: holds.currentText() for column, holds, _unit in page.columns}
    assert held["ph low"] == "pH: low end of a strip"
    assert held["ph high"] == "pH: high end of a strip"


@pytest.mark.parametrize(
    "page", ["now", "entry", "plan", "course", "shelf", "kit", "ranges", "files"]
)
def test_every_page_has_names_room_and_a_way_through_by_keyboard(
    qtbot: QtBot, window: Window, screen: WaterScreen, page: str
) -> None:
    screen.show_subject(page)
    qtbot.waitUntil(lambda: not window.work.busy)
    # The height follows the wrapped text one turn of the loop later.
    qtbot.waitUntil(lambda: not clipped(window))
    assert audit(window) == []


def test_this_week_shows_the_dose_with_its_caution(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    desk = open_desk(path)
    tub = tubs(desk)[0].id
    add_task(desk, tub, triggers=[{"kind": "reading", "when": "ph outside range"}])
    desk.store.close()
    window.go("week")
    week = window.screens.current
    assert isinstance(week, WeekScreen)
    week.refresh()
    qtbot.waitUntil(lambda: week.model.first_task() is not None)
    group = week.model.item(0)
    told = group.child(0, 3).data(Qt.ItemDataRole.DisplayRole)
    tip = group.child(0, 3).data(Qt.ItemDataRole.ToolTipRole)
    assert told.startswith("to add: ")
    assert "Never let acid meet any chlorine product" in told
    assert "Wear gloves" in tip


def test_a_water_task_in_this_week_leads_to_the_plan_of_its_tub_and_back(
    qtbot: QtBot, window: Window, path: Path
) -> None:
    desk = open_desk(path)
    south = add_tub(desk, name="South", zone="UTC")
    add_readings(desk, south, BAD)
    triggers = [{"kind": "reading", "when": "ph outside range"}]
    add_task(desk, south, title="Correct the pH", category="water", triggers=triggers)
    add_task(
        desk, south, title="Rinse the filter", triggers=[{"kind": "once", "on": "2026-05-06"}]
    )
    desk.store.close()
    window.go("week")
    week = window.screens.current
    assert isinstance(week, WeekScreen)
    week.refresh()
    qtbot.waitUntil(lambda: week.model.rowCount() > 0)
    groups = [week.model.item(at) for at in range(week.model.rowCount())]
    rows = [group.child(at) for group in groups for at in range(group.rowCount())]
    by_title = {str(row.data(Qt.ItemDataRole.DisplayRole)): row for row in rows}
    week.tree.setCurrentIndex(by_title["Rinse the filter \N{MIDDLE DOT} South"].index())
    assert not week.water_action.isEnabled()
    week.tree.setCurrentIndex(by_title["Correct the pH \N{MIDDLE DOT} South"].index())
    QTest.keyClick(
        window,
        Qt.Key.Key_W,
        Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    )
    screen = window.screens.current
    assert isinstance(screen, WaterScreen)
    qtbot.waitUntil(lambda: bool(screen.plan().cards))
    assert screen.front is screen.plan
    assert screen.choice.currentText() == "South"
    window.menus.back.trigger()
    assert window.screens.current is week
