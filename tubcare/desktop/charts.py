"""Charts: what is drawn, as plain values, and a view with a table of the figures behind it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from html import escape
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)
from typing_extensions import override

from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.desktop.theme import worded
from tubcare.words.numbers import NO_BREAK_SPACE

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QShowEvent

    from tubcare.desktop.plotting import Plot
    from tubcare.desktop.screen import Context
    from tubcare.desktop.shades import Shades
    from tubcare.desktop.work import Ticket

LEAST_HEIGHT = 220
#: Marks of the lines, as they are drawn and as they are written below.
MARKS: Final = (
    ("o", "\N{BLACK CIRCLE}"),
    ("s", "\N{BLACK SQUARE}"),
    ("t", "\N{BLACK DOWN-POINTING TRIANGLE}"),
    ("d", "\N{BLACK DIAMOND}"),
    ("+", "\N{HEAVY GREEK CROSS}"),
    ("star", "\N{BLACK STAR}"),
)


class ChartKind(StrEnum):
    """How the series are drawn."""

    BARS = "bars"
    """Upright bars side by side, for months."""
    STACKED = "stacked"
    """Upright bars on top of each other, for categories by month."""
    LINES = "lines"
    """Lines with marks, and bands where low and high are given."""
    COMPARED = "compared"
    """Lying bars with their figure, for comparing things with names."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """A named row of figures, one for each label; None where there is none."""

    name: str
    values: tuple[float | None, ...]
    low: tuple[float | None, ...] = ()
    """Lower edge of a band, None where it has none; as long as `values`, or empty."""
    high: tuple[float | None, ...] = ()
    bridged: bool = False
    """Whether a line runs on over labels without a figure."""
    points_only: bool = False
    """Whether there are marks without a line, for things that happened."""
    texts: tuple[str, ...] = ()
    """What the table says in place of the figures; as long as `values`, or empty."""
    signs: tuple[str, ...] = ()
    """Short signs at the foot of the drawing, a line each; as long as `values`, or empty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """All that a chart shows."""

    kind: ChartKind
    title: str
    told: str
    """What is to be seen, in a sentence or two: for screen readers, and for everybody else."""
    labels: tuple[str, ...]
    series: tuple[Series, ...]
    figure: Callable[[float], str]
    """Writes a figure with its unit, for the table."""
    labels_title: str
    """What the labels are, such as “Month”; heads the first column of the table."""
    most: float | None = None
    """The largest figure that there can be, such as 100 %; the axis reaches it, and ends there."""
    tick: Callable[[float, int], str] | None = None
    """Writes a figure beside the axis with so many decimals; as in the table when None."""
    key: tuple[str, ...] = ()
    """What each sign at the foot of the drawing stands for."""


@dataclass(frozen=True, slots=True)
class _Line:
    label: str
    figures: tuple[str, ...]


class ChartView(QWidget):
    """A chart that can be switched to its table; drawing is loaded when it is first seen."""

    def __init__(self, context: Context, key: str) -> None:
        super().__init__()
        self._context = context
        self._key = f"chart/{key}"
        self._chart: Chart | None = None
        self._plot: Plot | None = None
        self._table: Table[_Line] | None = None
        self._asked = False
        self._title = worded(QLabel(), "group")
        self._told = worded(QLabel(), "muted")
        self._told.setWordWrap(True)
        self._switch = QPushButton()
        self._switch.clicked.connect(self._toggle)
        self._waiting = worded(QLabel(context.say("Drawing…")), "muted")
        self._key_text = QLabel()
        self._key_text.setWordWrap(True)
        self._key_text.setTextFormat(Qt.TextFormat.RichText)
        self._pages = QStackedWidget()
        self._pages.setMinimumHeight(LEAST_HEIGHT)
        self._pages.addWidget(self._waiting)
        self._as_table = context.keeping.switch(self._key, default=False)
        words = QVBoxLayout()
        words.setSpacing(2)
        words.addWidget(self._title)
        words.addWidget(self._told)
        head = QHBoxLayout()
        head.addLayout(words, 1)
        head.addWidget(self._switch)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(12, 10, 12, 8)
        rows.addLayout(head)
        rows.addWidget(self._pages, 1)
        rows.addWidget(self._key_text)
        context.theme.changed.connect(self._redraw)
        self._name_switch()

    def show_chart(self, chart: Chart) -> None:
        """Show a chart in place of what was shown."""
        self._chart = chart
        self._title.setText(chart.title)
        self._told.setText(chart.told)
        self._told.setVisible(bool(chart.told))
        self._fill_table(chart)
        self._name_switch()
        self._draw()

    @override
    def showEvent(self, event: QShowEvent) -> None:
        """Load what draws, when somebody looks."""
        super().showEvent(event)
        self._draw()

    @Slot()
    def _toggle(self) -> None:
        self._as_table = not self._as_table
        self._context.keeping.keep(self._key, self._as_table)
        self._name_switch()
        self._draw()

    def _name_switch(self) -> None:
        say = self._context.say
        self._switch.setText(say("Show as chart") if self._as_table else say("Show as table"))
        self._switch.setAccessibleDescription(self._title.text())

    def _draw(self) -> None:
        if self._chart is None:
            return
        key = _key(self._chart, self._context.theme.shades)
        self._key_text.setText(key)
        self._key_text.setVisible(bool(key) and not self._as_table)
        if self._as_table and self._table is not None:
            self._pages.setCurrentWidget(self._table)
        elif self._plot is not None:
            self._pages.setCurrentWidget(self._plot)
            self._plot.draw(self._chart, self._context.theme.shades)
        elif self.isVisible() and not self._asked:
            self._asked = True
            self._context.work.elsewhere(
                load_numbers, done=self._take_plot, title=self._context.say("Drawing charts")
            )

    def _take_plot(self, _loaded: None) -> None:
        self._plot = plot_class()()
        self._pages.addWidget(self._plot)
        self._draw()

    @Slot()
    def _redraw(self) -> None:
        if self._plot is not None:
            self._draw()

    def _fill_table(self, chart: Chart) -> None:
        if self._table is not None:
            self._pages.removeWidget(self._table)
            self._table.deleteLater()
        columns = [
            Column[_Line](key="label", title=chart.labels_title, text=_label),
            *(
                Column[_Line](key=str(place), title=one.name, text=_Figure(place), numeric=True)
                for place, one in enumerate(chart.series)
            ),
        ]
        model = RowsModel(columns, self._context.icons)
        self._table = Table(chart.title, self._key, model, self._context.keeping)
        model.setParent(self._table)
        model.set_rows(_lines(chart))
        self._pages.addWidget(self._table)


def _key(chart: Chart, shades: Shades) -> str:
    """Return the marks of the lines with their names, and the signs; it wraps as the room is."""
    told = [
        f'<span style="color:{shades.series_colour(place).name()}">'
        f"{MARKS[place % len(MARKS)][1]}</span>"
        f"\N{NO-BREAK SPACE}{escape(_kept_together(series.name))}"
        for place, series in enumerate(chart.series)
        if any(value is not None for value in series.values)
    ]
    if chart.kind is not ChartKind.LINES or len(chart.series) < 2:
        told = []
    signs = [escape(_kept_together(sign)) for sign in chart.key]
    return "<br>".join(" \N{NO-BREAK SPACE} ".join(each) for each in (told, signs) if each)


def _kept_together(text: str) -> str:
    return text.replace(" ", NO_BREAK_SPACE, 3)


@dataclass(frozen=True, slots=True)
class _Figure:
    place: int

    def __call__(self, line: _Line) -> str:
        return line.figures[self.place]


def _label(line: _Line) -> str:
    return line.label


def _lines(chart: Chart) -> list[_Line]:
    def told(series: Series, place: int) -> str:
        if series.texts:
            return series.texts[place]
        value = series.values[place]
        shown = "" if value is None else chart.figure(value)
        if not series.low:
            return shown
        low, high = series.low[place], series.high[place]
        if low is None or high is None:
            return shown
        band = f"{chart.figure(low)}\N{EN DASH}{chart.figure(high)}"
        return f"{shown} ({band})" if shown else band

    return [
        _Line(label, tuple(told(series, place) for series in chart.series))
        for place, label in enumerate(chart.labels)
    ]


def load_numbers(_ticket: Ticket) -> None:
    """Load, beside the window, what a chart needs that is no part of Qt."""
    import numpy  # noqa: F401, PLC0415  a sixth of a second; pyqtgraph then finds it there


def plot_class() -> type[Plot]:
    """Return what draws charts; call it in the window's thread.

    Loading it goes through every class of Qt. Done in another thread while the window works, that
    ended the program now and then: Qt's Python classes are made when first named.
    """
    from tubcare.desktop.plotting import Plot  # noqa: PLC0415  brings pyqtgraph

    return Plot
