"""Draws charts with pyqtgraph; loaded when the first chart is looked at, never before.

Series differ in hatching or in the shape of their marks, not in colour alone.
"""

from __future__ import annotations

from math import floor, log10, nan
from typing import TYPE_CHECKING, Final

import pyqtgraph
from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPen
from typing_extensions import override

from tubcare.desktop.charts import LEAST_HEIGHT, MARKS, ChartKind

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from PySide6.QtGui import QPainter, QResizeEvent

    from tubcare.desktop.charts import Chart, Series
    from tubcare.desktop.shades import Shades

_HATCHES: Final = (
    Qt.BrushStyle.SolidPattern,
    Qt.BrushStyle.BDiagPattern,
    Qt.BrushStyle.Dense4Pattern,
    Qt.BrushStyle.FDiagPattern,
    Qt.BrushStyle.CrossPattern,
    Qt.BrushStyle.VerPattern,
)
_STROKES: Final = (
    Qt.PenStyle.SolidLine,
    Qt.PenStyle.DashLine,
    Qt.PenStyle.DotLine,
    Qt.PenStyle.DashDotLine,
)
_LINE_PX = 2.0
_BAR_WIDTH = 0.72
_ROUNDING = 1e-9
_ROOM = 1.18
_ROOM_FOR_LEGEND = 1.32
_MOST_LABELS = 13
# What the signs at the foot take at most of the height.
_MOST_FOOT = 0.5


class _Axis(pyqtgraph.AxisItem):  # type: ignore[misc]  # it has no types
    """An axis that writes its figures as the chart says."""

    figure: Callable[[float], str] | None = None
    tick: Callable[[float, int], str] | None = None
    most: float | None = None

    @override
    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """Return the texts beside the ticks."""
        if self.figure is None:
            return [str(text) for text in super().tickStrings(values, scale, spacing)]
        figures = [value * scale for value in values]
        if self.tick is not None:
            decimals = max(0, -floor(log10(spacing * scale) + _ROUNDING))
            return [self.tick(figure, decimals) for figure in figures]
        # Room for the legend above the largest figure is no part of the scale.
        return [
            "" if self.most is not None and figure > self.most else self.figure(figure)
            for figure in figures
        ]


class _Sample(pyqtgraph.ItemSample):  # type: ignore[misc]  # it has no types
    """A bar of the legend with its hatching; lines draw themselves."""

    @override
    def paint(self, painter: QPainter, *arguments: object) -> None:
        """Draw the sample."""
        if not isinstance(self.item, pyqtgraph.BarGraphItem):
            super().paint(painter, *arguments)
            return
        painter.setBrush(self.item.opts["brush"])
        painter.setPen(self.item.opts["pen"])
        painter.drawRect(QRectF(3, 4, 14, 12))


class Plot(pyqtgraph.PlotWidget):  # type: ignore[misc]  # it has no types
    """One drawing. It answers neither mouse nor keyboard: the table behind it is for that."""

    def __init__(self) -> None:
        self._bottom, self._left = _Axis("bottom"), _Axis("left")
        super().__init__(axisItems={"bottom": self._bottom, "left": self._left})
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setMouseEnabled(x=False, y=False)
        self.setMenuEnabled(False)
        self.hideButtons()
        self.setFrameShape(self.Shape.NoFrame)
        self.plotItem.setContentsMargins(4, 8, 12, 4)
        self._drawn: tuple[Chart, Shades] | None = None

    @override
    def sizeHint(self) -> QSize:
        """Ask for no more than the least height; what room there is, it fills."""
        return QSize(2 * LEAST_HEIGHT, LEAST_HEIGHT)

    @override
    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Give texts the room they need in the new size."""
        super().resizeEvent(event)
        # Its parent's making resizes it too, before there is anything to draw.
        drawn = getattr(self, "_drawn", None)
        if drawn is not None and event is not None and event.size() != event.oldSize():
            self.draw(*drawn)

    def draw(self, chart: Chart, shades: Shades) -> None:
        """Draw the chart in these colours, in place of what was drawn."""
        self._drawn = (chart, shades)
        self.setAccessibleName(chart.title)
        self.setAccessibleDescription(chart.told)
        self.clear()
        self._dress(chart, shades)
        match chart.kind:
            case ChartKind.BARS:
                self._bars(chart, shades)
            case ChartKind.STACKED:
                self._stacked(chart, shades)
            case ChartKind.LINES:
                self._lines(chart, shades)
            case ChartKind.COMPARED:
                self._compared(chart, shades)

    def _dress(self, chart: Chart, shades: Shades) -> None:
        self.setBackground(shades.colour("base"))
        lying = chart.kind is ChartKind.COMPARED
        names, figures = (self._left, self._bottom) if lying else (self._bottom, self._left)
        for axis in (self._bottom, self._left):
            axis.setPen(shades.colour("hairline"))
            axis.setTextPen(shades.colour("text"))
            axis.setStyle(tickLength=0, maxTickLevel=0)
            axis.setZValue(-1000)
            axis.enableAutoSIPrefix(enable=False)
            axis.setTickFont(self.font())
        widest = max((self.fontMetrics().horizontalAdvance(t) for t in chart.labels), default=0)
        step = 1 if lying else self._step(len(chart.labels), widest)
        names.setTicks([[(k, t) for k, t in enumerate(chart.labels) if k % step == 0]])
        names.figure = names.tick = names.most = None
        # Left alone, the axis learns its width from the first painting, too late for a picture.
        self._left.setWidth(widest + 12 if lying else None)
        figures.setTicks(None)
        figures.figure, figures.tick, figures.most = chart.figure, chart.tick, chart.most
        self.showGrid(x=lying, y=not lying, alpha=0.25)
        self.plotItem.getViewBox().invertY(b=lying)
        if self.plotItem.legend is not None:
            self.plotItem.legend.scene().removeItem(self.plotItem.legend)
            self.plotItem.legend = None
        if len(chart.series) > 1 and chart.kind is not ChartKind.LINES:
            self.addLegend(
                offset=(-8, 2),
                colCount=len(chart.series),
                sampleType=_Sample,
                labelTextColor=shades.colour("text"),
                brush=shades.colour("base"),
                pen=shades.colour("hairline"),
            )

    def _step(self, labels: int, widest: int) -> int:
        """Return how many labels lie from one that is written to the next."""
        room = 0.9 * float(self.width())
        fitting = int(room // (widest + self.fontMetrics().height()))
        return max(1, -(-labels // max(1, min(_MOST_LABELS, fitting))))

    def _bars(self, chart: Chart, shades: Shades) -> None:
        width = _BAR_WIDTH / max(1, len(chart.series))
        for place, series in enumerate(chart.series):
            shift = (place - (len(chart.series) - 1) / 2) * width
            self.addItem(
                pyqtgraph.BarGraphItem(
                    x=[k + shift for k in range(len(series.values))],
                    height=_known(series),
                    width=width * 0.94,
                    name=series.name,
                    **_fill(place, shades),
                )
            )
        values = [v for s in chart.series for v in _known(s)]
        self._frame(chart, min([0.0, *values]), max([0.0, *values]))

    def _stacked(self, chart: Chart, shades: Shades) -> None:
        floor = [0.0] * len(chart.labels)
        for place, series in enumerate(chart.series):
            heights = _known(series)
            self.addItem(
                pyqtgraph.BarGraphItem(
                    x=list(range(len(heights))),
                    y0=floor,
                    height=heights,
                    width=_BAR_WIDTH,
                    name=series.name,
                    **_fill(place, shades),
                )
            )
            floor = [below + height for below, height in zip(floor, heights, strict=True)]
        self._frame(chart, min([0.0, *floor]), max([0.0, *floor]))

    def _line(self, place: int, colour: QColor) -> QPen:
        # A screen of twice as many pixels needs lines of twice as many.
        stroke = _STROKES[place % len(_STROKES)]
        return _pen(colour, stroke, _LINE_PX * self.devicePixelRatioF())

    def _lines(self, chart: Chart, shades: Shades) -> None:
        values: list[float] = []
        signed: list[Series] = []
        for place, series in enumerate(chart.series):
            colour = shades.series_colour(place)
            spots = [
                (spot, nan if value is None else value)
                for spot, value in enumerate(series.values)
                if value is not None or not series.bridged
            ]
            values += [v for v in (*series.values, *series.low, *series.high) if v is not None]
            if series.low:
                self._band(series, shades)
            if all(value is None for value in series.values):
                # Nothing to draw, and an empty item brings the painter down.
                continue
            if series.signs:
                signed.append(series)
            self.plot(
                [spot for spot, _height in spots],
                [height for _spot, height in spots],
                name=series.name,
                connect="finite",
                pen=None if series.points_only else self._line(place, colour),
                symbol=MARKS[place % len(MARKS)][0],
                symbolSize=11 if series.points_only else 8,
                symbolBrush=colour,
                symbolPen=shades.colour("base"),
                antialias=True,
            )
        lines = max((t.count("\n") + 1 for s in signed for t in s.signs if t), default=0)
        foot_px = lines * self.fontMetrics().lineSpacing()
        foot = self._frame(chart, min(values, default=0.0), max(values, default=1.0), foot_px)
        for series in signed:
            self._sign(series, foot, shades)

    def _sign(self, series: Series, foot: float, shades: Shades) -> None:
        """Write the signs at the foot, each with a thin line up to its mark."""
        for spot, (sign, height) in enumerate(zip(series.signs, series.values, strict=True)):
            if not sign or height is None:
                continue
            line = _pen(shades.colour("hairline"), Qt.PenStyle.DotLine, self.devicePixelRatioF())
            self.plot([spot, spot], [foot, height], pen=line)
            text = pyqtgraph.TextItem(
                sign, color=shades.colour("text"), anchor=(0.5, 1.0), fill=shades.colour("base")
            )
            text.setFont(self.font())
            text.setPos(spot, foot)
            self.addItem(text)

    def _band(self, series: Series, shades: Shades) -> None:
        edges = [
            (spot, low, high)
            for spot, (low, high) in enumerate(zip(series.low, series.high, strict=True))
            if low is not None and high is not None
        ]
        if not edges:
            return
        spots = [spot for spot, _low, _high in edges]
        lines = [
            pyqtgraph.PlotCurveItem(spots, [edge[side] for edge in edges], pen=None)
            for side in (1, 2)
        ]
        self.addItem(pyqtgraph.FillBetweenItem(*lines, brush=QBrush(shades.colour("band"))))

    def _compared(self, chart: Chart, shades: Shades) -> None:
        height = _BAR_WIDTH / max(1, len(chart.series))
        widest = max((v for s in chart.series for v in _known(s)), default=1.0) or 1.0
        for place, series in enumerate(chart.series):
            shift = (place - (len(chart.series) - 1) / 2) * height
            middles = [k + shift for k in range(len(series.values))]
            self.addItem(
                pyqtgraph.BarGraphItem(
                    x0=0,
                    y=middles,
                    width=_known(series),
                    height=height * 0.9,
                    name=series.name,
                    **_fill(place, shades),
                )
            )
            for middle, value in zip(middles, series.values, strict=True):
                if value is not None:
                    text = pyqtgraph.TextItem(
                        chart.figure(value), color=shades.colour("text"), anchor=(0, 0.5)
                    )
                    text.setPos(max(value, 0), middle)
                    self.addItem(text)
        self.setXRange(0, widest * _ROOM, padding=0)
        self.setYRange(-0.6, len(chart.labels) - 0.4, padding=0)

    def _frame(self, chart: Chart, low: float, high: float, foot_px: float = 0.0) -> float:
        """Show all figures, and below them what is `foot_px` high; return the lowest edge."""
        high = high if chart.most is None else max(high, chart.most)
        span = (high - low) or abs(high) or 1.0
        bottom = low if low == 0 and chart.kind is not ChartKind.LINES else low - span * 0.06
        top = low + span * (_ROOM if self.plotItem.legend is None else _ROOM_FOR_LEGEND)
        axis_px = 2.0 * float(self.fontMetrics().height())
        height = max(float(self.height()), LEAST_HEIGHT) - axis_px
        below = min(foot_px / height, _MOST_FOOT)
        foot = bottom - (top - bottom) * below / (1.0 - below)
        self.setXRange(-0.6, len(chart.labels) - 0.4, padding=0)
        self.setYRange(foot, top, padding=0)
        return foot


def _known(series: Series) -> list[float]:
    return [0.0 if value is None else value for value in series.values]


def _fill(place: int, shades: Shades) -> dict[str, object]:
    colour = shades.series_colour(place)
    brush = QBrush(colour, _HATCHES[place % len(_HATCHES)])
    return {"brush": brush, "pen": _pen(colour, Qt.PenStyle.SolidLine, 1.0)}


def _pen(colour: QColor, stroke: Qt.PenStyle, width: float) -> QPen:
    pen = QPen(colour, width, stroke)
    # Widths are in pixels, not in the units of the axes.
    pen.setCosmetic(True)
    return pen
