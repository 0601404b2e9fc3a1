"""The pages about one tub, each made when it is first shown."""

from __future__ import annotations

from enum import IntEnum
from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.tub_part import TubPart
    from tubcare.desktop.tub_profile import ProfilePage
    from tubcare.desktop.tub_quick import QuickPage
    from tubcare.desktop.tub_season import SeasonPage
    from tubcare.desktop.tub_shelf import ShelfPage


class TubPage(IntEnum):
    """The pages in the order shown."""

    QUICK = 0
    SEASON = 1
    PROFILE = 2
    SHELF = 3


class TubPages(QTabWidget):
    """Tabs over the pages; making all of them at once would hold the window up."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        say = context.say
        self.setAccessibleName(say("Pages of the tub"))
        for title in (say("Write down"), say("Season"), say("Profile"), say("Supplies")):
            holder = QWidget()
            rows = QVBoxLayout(holder)
            rows.setContentsMargins(0, 0, 0, 0)
            self.addTab(holder, title)

    @cached_property
    def quick(self) -> QuickPage:
        """Return the page of quick entry."""
        from tubcare.desktop.tub_quick import QuickPage  # noqa: PLC0415  loaded when first shown

        return QuickPage(self._context)

    @cached_property
    def season(self) -> SeasonPage:
        """Return the page of states and procedures."""
        from tubcare.desktop.tub_season import SeasonPage  # noqa: PLC0415  as above

        return SeasonPage(self._context)

    @cached_property
    def profile(self) -> ProfilePage:
        """Return the page of the profile and the plan drawn from it."""
        from tubcare.desktop.tub_profile import ProfilePage  # noqa: PLC0415  as above

        return ProfilePage(self._context)

    @cached_property
    def shelf(self) -> ShelfPage:
        """Return the page of the supplies."""
        from tubcare.desktop.tub_shelf import ShelfPage  # noqa: PLC0415  as above

        return ShelfPage(self._context)

    def front(self) -> TubPart:
        """Return the page in front, made now if it was never shown."""
        part: TubPart
        match TubPage(self.currentIndex()):
            case TubPage.QUICK:
                part = self.quick
            case TubPage.SEASON:
                part = self.season
            case TubPage.PROFILE:
                part = self.profile
            case TubPage.SHELF:
                part = self.shelf
        rows = self.currentWidget().layout()
        if rows is not None and not rows.count():
            rows.addWidget(part)
        return part
