"""A page of a section that scrolls as a whole."""

from __future__ import annotations

from tubcare.desktop.scrolling import PageArea


class TallPage(PageArea):
    """Keeps the edges that all pages of a section keep."""

    def __init__(self) -> None:
        super().__init__()
        self.rows.setContentsMargins(12, 12, 12, 10)
        self.rows.setSpacing(10)
