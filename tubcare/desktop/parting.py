"""Two widgets that share a page, with a border between them to drag."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSplitter

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QWidget


def beside(
    left: QWidget, right: QWidget, *, shares: tuple[int, int], first_px: Sequence[int] = ()
) -> QSplitter:
    """Return both beside each other; `shares` of room that is left over, widths to begin with."""
    return _parted(Qt.Orientation.Horizontal, (left, right), shares, first_px)


def below(
    upper: QWidget, lower: QWidget, *, shares: tuple[int, int], first_px: Sequence[int] = ()
) -> QSplitter:
    """Return both below each other; `shares` of room that is left over, heights to begin with."""
    return _parted(Qt.Orientation.Vertical, (upper, lower), shares, first_px)


def _parted(
    orientation: Qt.Orientation,
    parts: tuple[QWidget, QWidget],
    shares: tuple[int, int],
    first_px: Sequence[int],
) -> QSplitter:
    splitter = QSplitter(orientation)
    for place, (part, share) in enumerate(zip(parts, shares, strict=True)):
        splitter.addWidget(part)
        splitter.setStretchFactor(place, share)
    # Dragged to nothing, a part would be lost to whoever does not know that it was there.
    splitter.setChildrenCollapsible(False)
    if first_px:
        splitter.setSizes(first_px)
    return splitter
