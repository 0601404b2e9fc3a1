"""Charts: loaded late, named, themed, told apart without colour, with a table behind each."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

import pytest
from pyqtgraph import TextItem
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTableView

from tests.desktop.audit import audit
from tests.desktop.chart_section import CHARTS, SECTIONS, ChartScreen
from tests.desktop.conftest import settle
from tubcare.desktop.plotting import Plot
from tubcare.desktop.theme import Appearance

if TYPE_CHECKING:
    from collections.abc import Callable

    from pytestqt.qtbot import QtBot

    from tubcare.desktop.shell import Window
    from tubcare.desktop.theme import Theme


@pytest.fixture
def charts(make_window: Callable[..., Window], qtbot: QtBot) -> ChartScreen:
    window = make_window(sections=SECTIONS, counted="review")
    window.resize(1280, 800)
    settle(qtbot, window)
    screen = window.screens.current
    assert isinstance(screen, ChartScreen)
    qtbot.waitUntil(lambda: len(screen.findChildren(Plot)) == len(CHARTS))
    return screen


def test_a_window_with_charts_holds_all_that_a_window_must(charts: ChartScreen) -> None:
    assert audit(charts.window()) == []
    for view in charts.views:
        view._switch.click()
    assert audit(charts.window()) == []
    for view in charts.views:
        view._switch.click()


def test_every_chart_is_named_and_told_to_screen_readers(charts: ChartScreen) -> None:
    plots = charts.findChildren(Plot)
    assert {plot.accessibleName() for plot in plots} == {chart.title for chart in CHARTS}
    assert all(plot.accessibleDescription() for plot in plots)


def test_the_table_behind_a_chart_has_all_its_figures_and_the_choice_is_kept(
    charts: ChartScreen,
) -> None:
    view = charts.views[2]
    view._switch.click()
    table = view._pages.currentWidget()
    assert isinstance(table, QTableView)
    model = table.model()
    heads = [
        model.headerData(place, Qt.Orientation.Horizontal) for place in range(model.columnCount())
    ]
    assert heads == ["Month", "Modelled", "Measured", "Done"]
    assert model.index(0, 1).data() == "3 °C (2 °C\N{EN DASH}4 °C)"
    assert model.index(1, 2).data() == ""
    assert charts.context.keeping.switch("chart/lines", default=False)


def test_lines_and_signs_are_named_below_the_drawing_and_signs_stand_at_its_foot(
    charts: ChartScreen,
) -> None:
    (plot,) = [p for p in charts.findChildren(Plot) if p.accessibleName() == "Water temperature"]
    texts = [item for item in plot.plotItem.items if isinstance(item, TextItem)]
    assert [text.toPlainText() for text in texts] == ["A", "A\nB"]
    (bottom, top) = plot.plotItem.getViewBox().viewRange()[1]
    assert all(bottom <= text.pos().y() < 3 < top for text in texts)
    key = charts.views[2]._key_text
    assert all(name in key.text() for name in ("Modelled", "Measured", "Done"))
    assert "A\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}ice" in key.text()
    charts.views[2]._switch.click()
    assert not key.isVisible()
    charts.views[2]._switch.click()


def test_days_below_a_chart_keep_apart_in_a_small_window(
    charts: ChartScreen, qtbot: QtBot
) -> None:
    charts.window().resize(900, 700)
    qtbot.waitUntil(lambda: charts.window().width() < 1000)
    for plot in charts.findChildren(Plot):
        if plot.accessibleName() == "What would lower the cost":
            continue
        (ticks,) = plot.plotItem.getAxis("bottom")._tickLevels
        each = plot.width() / 12 * (ticks[1][0] - ticks[0][0])
        assert each > plot.fontMetrics().horizontalAdvance(ticks[0][1])


def test_charts_follow_the_colours_of_the_window(charts: ChartScreen, theme: Theme) -> None:
    theme.choose(Appearance.LIGHT)
    plot = charts.findChildren(Plot)[0]
    light = plot.grab().toImage()
    theme.choose(Appearance.DARK)
    assert plot.grab().toImage() != light
    corner = plot.grab().toImage().pixelColor(1, 1)
    assert corner == theme.shades.colour("base")
    theme.choose(Appearance.LIGHT)


def test_nothing_heavy_is_loaded_before_the_window_is_painted() -> None:
    code = "import tubcare.desktop.shell, tubcare.desktop.screen, tubcare.desktop.charts"
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-c", code],
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = {
        line.rpartition("|")[2].strip().partition(".")[0] for line in done.stderr.splitlines()
    }
    heavy = {"numpy", "pyqtgraph", "alembic", "sqlalchemy", "apscheduler", "icalendar", "babel"}
    assert loaded & heavy == set()
    assert "PySide6" in loaded


def test_what_is_loaded_beside_the_window_holds_no_class_of_qt() -> None:
    # Loading pyqtgraph in another thread while the window worked ended the program 1 time in 30.
    asked = (
        "import sys; from tubcare.desktop.charts import load_numbers; load_numbers(None); "
        "print('numpy' in sys.modules, 'pyqtgraph' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", asked], capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["True", "False"]
