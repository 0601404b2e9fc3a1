"""A page that scrolls, as high as its wrapped text needs at the width it has."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget
from typing_extensions import override

if TYPE_CHECKING:
    from PySide6.QtCore import QObject
    from PySide6.QtGui import QResizeEvent


class TallPage(QScrollArea):
    """Scrolls upright only. Without `fit` wrapped labels would be squeezed into each other."""

    def __init__(self) -> None:
        super().__init__()
        self._page = QWidget()
        self._page.setObjectName("page")
        self.rows = QVBoxLayout(self._page)
        self.rows.setContentsMargins(12, 12, 12, 10)
        self.rows.setSpacing(10)
        self._page.installEventFilter(self)
        self.setWidget(self._page)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def fit(self) -> None:
        """Give the page the height that its text needs at this width."""
        height = self.rows.totalHeightForWidth(self.viewport().width())
        # -1 where nothing on the page wraps.
        wanted = max(0, height)
        if self._page.minimumHeight() != wanted:
            self._page.setMinimumHeight(wanted)

    def keep_width(self) -> None:
        """Never let the page be narrower than what does not wrap; beside others it may be."""
        bar = self.verticalScrollBar().sizeHint().width()
        self.setMinimumWidth(self.rows.minimumSize().width() + bar)

    @override
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Fit anew when anything on the page needs another size, as after a change of font."""
        if watched is self._page and event.type() is QEvent.Type.LayoutRequest:
            self.fit()
        return super().eventFilter(watched, event)

    @override
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the height to the new width."""
        super().resizeEvent(event)
        self.fit()
