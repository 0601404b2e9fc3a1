"""A page that scrolls where it does not fit, as high as its wrapped text needs at its width."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget
from typing_extensions import override

if TYPE_CHECKING:
    from PySide6.QtCore import QObject
    from PySide6.QtGui import QResizeEvent

FIELD_CHARACTERS = 90
"""Wider than this, a row of a form is hard to follow with the eye."""


class PageArea(QScrollArea):
    """Scrolls its page. Without `fit` wrapped labels would be squeezed into each other."""

    def __init__(self) -> None:
        super().__init__()
        self.page = QWidget()
        self.page.setObjectName("page")
        self.rows = QVBoxLayout(self.page)
        self.page.installEventFilter(self)
        self.setWidget(self.page)
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def fit(self) -> None:
        """Give the page the height that its text needs at this width."""
        width = min(self.viewport().width(), self.page.maximumWidth())
        height = self.rows.totalHeightForWidth(width)
        # -1 where nothing on the page wraps.
        wanted = max(0, height)
        if self.page.minimumHeight() != wanted:
            self.page.setMinimumHeight(wanted)

    def keep_width(self) -> None:
        """Never let the page be narrower than what does not wrap; beside others it may be."""
        bar = self.verticalScrollBar().sizeHint().width()
        self.setMinimumWidth(self.rows.minimumSize().width() + bar)

    @override
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Fit anew when anything on the page needs another size, as after a change of font."""
        if watched is self.page and event.type() is QEvent.Type.LayoutRequest:
            self.fit()
        return super().eventFilter(watched, event)

    @override
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the height to the new width."""
        super().resizeEvent(event)
        self.fit()


def scrolling(*parts: QWidget) -> PageArea:
    """Return an area with the parts below each other, no wider than a form should be."""
    area = PageArea()
    area.rows.setContentsMargins(0, 0, 8, 0)
    area.rows.setSpacing(12)
    area.page.setMaximumWidth(FIELD_CHARACTERS * area.fontMetrics().averageCharWidth())
    for part in parts:
        area.rows.addWidget(part)
    area.rows.addStretch(1)
    return area
