"""Brings the window back where it was, if that place is still there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPoint, QRect, QSize
from PySide6.QtGui import QGuiApplication

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from tubcare.desktop.keeping import Keeping

_GEOMETRY: Final = "window/geometry"
_WIDTH: Final = "window/width"
_HEIGHT: Final = "window/height"
_FIRST: Final = QSize(1120, 720)
_REACHABLE: Final = 80
"""So much of the window, in pixels, must lie on a screen for a person to get hold of it."""


def keep_geometry(window: QWidget, keeping: Keeping) -> None:
    """Keep size and place; on Wayland a window does not know its place."""
    keeping.keep(_WIDTH, window.width())
    keeping.keep(_HEIGHT, window.height())
    if not _is_wayland():
        keeping.keep(_GEOMETRY, window.saveGeometry())


def restore_geometry(window: QWidget, keeping: Keeping) -> None:
    """Give the window its last size and place, pulled back onto a screen where needed."""
    width = keeping.number(_WIDTH, _FIRST.width())
    height = keeping.number(_HEIGHT, _FIRST.height())
    kept = keeping.state(_GEOMETRY)
    if _is_wayland() or kept.isEmpty() or not window.restoreGeometry(kept):
        window.resize(max(400, width), max(300, height))
    pull_back(window)


def pull_back(window: QWidget) -> None:
    """Move the window onto a screen when too little of it can be seen, and let it fit there."""
    frame = QRect(window.pos(), window.size())
    areas = [screen.availableGeometry() for screen in QGuiApplication.screens()]
    primary = QGuiApplication.primaryScreen().availableGeometry()
    best = max(areas, key=lambda area: _shared(area, frame), default=primary)
    part = best.intersected(frame)
    if part.width() < _REACHABLE or part.height() < _REACHABLE or frame.top() < best.top():
        window.move(best.topLeft() + QPoint(40, 40))
    if not window.isMaximized() and not window.isFullScreen():
        window.resize(window.size().boundedTo(best.size()))


def _shared(area: QRect, frame: QRect) -> int:
    part = area.intersected(frame)
    return part.width() * part.height()


def _is_wayland() -> bool:
    return QGuiApplication.platformName().startswith("wayland")
