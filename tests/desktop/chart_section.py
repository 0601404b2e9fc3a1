"""A section with one chart of each kind, for tests and for looking."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QGridLayout

from tests.desktop.fake_section import NotesLogbook
from tubcare.desktop.charts import Chart, ChartKind, ChartView, Series
from tubcare.desktop.screen import Screen
from tubcare.desktop.section import Section

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def euros(value: float) -> str:
    return f"€{value:,.0f}"


def degrees(value: float) -> str:
    return f"{value:.0f} °C"


CHARTS = (
    Chart(
        kind=ChartKind.BARS,
        title="Cost by month",
        told="The dearest month was July with €41.",
        labels=MONTHS,
        series=(
            Series(name="2026", values=(0, 0, 3, 22, 25, 30, 41, 38, 24, 12, 2, 0)),
            Series(name="2025", values=(0, 0, 0, 18, 28, 33, 36, 31, 29, 15, 0, 0)),
        ),
        figure=euros,
        labels_title="Month",
    ),
    Chart(
        kind=ChartKind.STACKED,
        title="Cost by category",
        told="Power makes up most of it.",
        labels=MONTHS,
        series=(
            Series(name="Power", values=(0, 0, 0, 12, 15, 21, 26, 24, 14, 6, 0, 0)),
            Series(name="Chemicals", values=(0, 0, 0, 4, 4, 6, 8, 7, 4, 2, 0, 0)),
            Series(name="Filters", values=(0, 0, 0, 5, 0, 5, 0, 5, 0, 5, 0, 0)),
            Series(name="Water", values=(0, 0, 0, 2, 0, 0, 2, 0, 0, 1, 0, 0)),
        ),
        figure=euros,
        labels_title="Month",
    ),
    Chart(
        kind=ChartKind.LINES,
        title="Water temperature",
        told="It stayed between 3 and 8 °C; the model expected a little less.",
        labels=MONTHS,
        series=(
            Series(
                name="Modelled",
                values=(3, 3, 4, 5, 6, 7, 7, 7, 6, 5, 4, 3),
                low=(2, 2, 3, 4, 5, 6, 6, 6, 5, 4, 3, 2),
                high=(4, 4, 5, 6, 7, 8, 8, 8, 7, 6, 5, 4),
            ),
            Series(name="Measured", values=(3, None, 5, 5, 7, 7, 8, 7, 7, 5, None, 3)),
            Series(
                name="Done",
                values=(None, None, 5, None, None, 7, *(None,) * 6),
                points_only=True,
                texts=("", "", "ice out", "", "", "ice out, new lid", *("",) * 6),
                signs=("", "", "A", "", "", "A\nB", *("",) * 6),
            ),
        ),
        key=("A = ice out", "B = new lid"),
        figure=degrees,
        labels_title="Month",
    ),
    Chart(
        kind=ChartKind.COMPARED,
        title="What would lower the cost",
        told="A thicker lid would save most.",
        labels=("As it is", "Thicker lid", "Two degrees warmer", "Shade"),
        series=(Series(name="A season", values=(140, 96, 118, 131)),),
        figure=euros,
        labels_title="Change",
    ),
)


class ChartScreen(Screen):
    """Shows the four kinds."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, "Charts")
        grid = QGridLayout()
        grid.setSpacing(20)
        self.views = [ChartView(context, chart.kind) for chart in CHARTS]
        for place, (view, chart) in enumerate(zip(self.views, CHARTS, strict=True)):
            grid.addWidget(view, place // 2, place % 2)
            view.show_chart(chart)
        self.body.addLayout(grid)


SECTIONS = (Section(key="review", title="Charts", icon="review", make=ChartScreen),)


def parts() -> tuple[tuple[Section, ...], Callable[[], NotesLogbook], None]:
    return SECTIONS, NotesLogbook, None
