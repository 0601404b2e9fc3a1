"""Tables: by keyboard alone, told to screen readers, the same after a refresh."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QLineEdit, QMainWindow, QVBoxLayout, QWidget

from tests.desktop.audit import audit
from tubcare.care.terms import Status
from tubcare.desktop.icons import Icons
from tubcare.desktop.marks import MARKS
from tubcare.desktop.table import Column, RowsModel, Table

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

    from tubcare.desktop.keeping import Keeping
    from tubcare.desktop.theme import Theme


@dataclass(frozen=True, slots=True, kw_only=True)
class Chore:
    """A row."""

    id: int
    title: str
    state: Status
    cost: int


CHORES = (
    Chore(id=1, title="Rinse the filter", state=Status.LATE, cost=0),
    Chore(id=2, title="Oil the bench", state=Status.DUE, cost=1200),
    Chore(id=3, title="Test the RCD", state=Status.COMING, cost=900),
)
COLUMNS = (
    Column[Chore](key="title", title="Task", text=lambda c: c.title, sort=lambda c: c.title),
    Column[Chore](
        key="state",
        title="State",
        text=lambda c: c.state.value.capitalize(),
        mark=lambda c: MARKS[c.state],
    ),
    Column[Chore](
        key="cost", title="Cost", text=lambda c: str(c.cost), numeric=True, sort=lambda c: c.cost
    ),
)


class Bench:
    """A window with a field, a table and another field."""

    def __init__(self, qtbot: QtBot, theme: Theme, keeping: Keeping) -> None:
        self.model = RowsModel(COLUMNS, Icons(theme), identity=lambda c: c.id)
        self.tester = QAbstractItemModelTester(
            self.model, QAbstractItemModelTester.FailureReportingMode.Fatal
        )
        self.table = Table("Tasks", "chores", self.model, keeping)
        self.model.set_rows(CHORES)
        self.before, self.after = QLineEdit(), QLineEdit()
        self.before.setAccessibleName("Before")
        self.after.setAccessibleName("After")
        centre = QWidget()
        rows = QVBoxLayout(centre)
        for widget in (self.before, self.table, self.after):
            rows.addWidget(widget)
        self.window = QMainWindow()
        self.window.setWindowTitle("Chores")
        self.window.setCentralWidget(centre)
        self.window.resize(640, 480)
        qtbot.addWidget(self.window)
        self.window.show()
        self.window.activateWindow()
        qtbot.waitUntil(self.window.isActiveWindow)


@pytest.fixture
def bench(qtbot: QtBot, theme: Theme, keeping: Keeping) -> Bench:
    return Bench(qtbot, theme, keeping)


def test_a_table_holds_all_that_a_window_must(bench: Bench) -> None:
    assert audit(bench.window) == []


def test_tab_leaves_the_table(bench: Bench) -> None:
    bench.table.setFocus()
    QTest.keyClick(bench.table, Qt.Key.Key_Tab)
    assert bench.window.focusWidget() is bench.after


def test_letters_find_a_row_and_space_acts_on_it(bench: Bench, qtbot: QtBot) -> None:
    bench.table.setFocus()
    bench.table.setCurrentIndex(bench.model.index(0, 2))
    QTest.keyClicks(bench.table, "test")
    assert bench.table.current_row == CHORES[2]
    with qtbot.waitSignal(bench.table.space_pressed, check_params_cb=lambda row: row.id == 3):
        QTest.keyClick(bench.table, Qt.Key.Key_Space)
    with qtbot.waitSignal(bench.table.row_opened, check_params_cb=lambda row: row.id == 3):
        QTest.keyClick(bench.table, Qt.Key.Key_Return)


def test_every_cell_is_told_with_its_column_and_states_with_their_word(bench: Bench) -> None:
    index = bench.model.index(0, 1)
    assert index.data(Qt.ItemDataRole.AccessibleTextRole) == "State: Late"
    assert index.data(Qt.ItemDataRole.DisplayRole) == "Late"
    assert not index.data(Qt.ItemDataRole.DecorationRole).isNull()


def test_the_same_row_stays_current_after_a_refresh_and_its_neighbour_when_it_is_gone(
    bench: Bench,
) -> None:
    bench.table.choose(2)
    bench.model.set_rows([CHORES[2], CHORES[1], CHORES[0]])
    assert bench.table.current_row == CHORES[1]
    bench.model.set_rows([CHORES[2], CHORES[0]])
    assert bench.table.current_row == CHORES[0]
    bench.model.set_rows([])
    assert bench.table.current_row is None


def test_rows_are_ordered_by_a_column_and_keep_the_order_after_a_refresh(bench: Bench) -> None:
    bench.table.choose(2)
    bench.table.sortByColumn(2, Qt.SortOrder.DescendingOrder)
    assert [row.cost for row in bench.model.rows] == [1200, 900, 0]
    assert bench.table.current_row == CHORES[1]
    bench.model.set_rows(CHORES)
    assert [row.cost for row in bench.model.rows] == [1200, 900, 0]


def test_widths_of_columns_come_back(
    bench: Bench, qtbot: QtBot, theme: Theme, keeping: Keeping
) -> None:
    bench.table.setColumnWidth(0, 333)
    bench.window.close()
    again = Bench(qtbot, theme, keeping)
    assert again.table.columnWidth(0) == 333


def test_the_current_row_is_seen_by_its_ground(bench: Bench, theme: Theme) -> None:
    bench.table.choose(2)
    bench.table.setFocus()
    image = bench.table.viewport().grab().toImage()
    row = bench.table.visualRect(bench.model.index(1, 0))
    assert image.pixelColor(row.right() - 3, row.center().y()) == theme.shades.colour("highlight")


def test_markup_that_a_person_wrote_is_shown_as_text(
    qtbot: QtBot, theme: Theme, keeping: Keeping
) -> None:
    model = Bench(qtbot, theme, keeping).model
    model.set_rows([Chore(id=9, title="<b>Swap</b> & rinse", state=Status.DUE, cost=0)])
    index = model.index(0, 0)
    assert index.data() == "<b>Swap</b> & rinse"
    tip = index.data(Qt.ItemDataRole.ToolTipRole)
    assert tip == "<p>&lt;b&gt;Swap&lt;/b&gt; &amp; rinse</p>"
