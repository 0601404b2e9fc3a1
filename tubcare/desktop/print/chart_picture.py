"""Charts as pictures for paper, drawn by the same hand as on the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from tubcare.desktop.print.report import Picture
from tubcare.desktop.shades import read_shades

if TYPE_CHECKING:
    from tubcare.desktop.charts import Chart
    from tubcare.desktop.plotting import Plot

WIDTH, HEIGHT = 660, 228
"""In dots of the page; the picture has `FINENESS` times as many."""
FINENESS = 2
_CHART_POINTS = 8


def chart_picture(make: type[Plot], chart: Chart) -> Picture:
    """Return a chart as a picture, always in the light colours; call it in the window's thread."""
    plot = make()
    font = plot.font()
    font.setPointSize(_CHART_POINTS)
    plot.setFont(font)
    plot.resize(WIDTH, HEIGHT)
    shades = read_shades()["light"]
    plot.draw(chart, shades)
    # Axes learn their width from a first painting.
    plot.grab()
    plot.plotItem.layout.activate()
    image = QImage(WIDTH * FINENESS, HEIGHT * FINENESS, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(FINENESS)
    image.fill(shades.colour("base"))
    painter = QPainter(image)
    plot.render(painter, QRectF(0, 0, WIDTH, HEIGHT), plot.viewport().rect())
    painter.end()
    plot.deleteLater()
    return Picture(image=image, told=chart.told)
