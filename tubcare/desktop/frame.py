"""What stands in the window: sections at the side, screens, notices, progress, messages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from tubcare.desktop.icons import Icons
from tubcare.desktop.keeper import Keeper, Voice
from tubcare.desktop.menus import Menus
from tubcare.desktop.notices import Notices
from tubcare.desktop.progress import BusyLabel, ProgressRow
from tubcare.desktop.screens import Screens
from tubcare.desktop.sidebar import Sidebar
from tubcare.desktop.strip import Strip
from tubcare.desktop.work import Work

if TYPE_CHECKING:
    from PySide6.QtWidgets import QMainWindow

    from tubcare.desktop.shell import Parts


class Frame(QWidget):
    """Makes the parts of the window, lays them out, and moves the keyboard between them."""

    def __init__(self, window: QMainWindow, parts: Parts) -> None:
        super().__init__()
        speech = parts.speech
        self.voice = Voice(speech)
        self.work = Work(window)
        self.icons = Icons(parts.theme)
        self.menus = Menus(window, parts.sections, parts.theme, speech)
        self.sidebar = Sidebar(parts.sections, self.icons, parts.theme, speech)
        self.notices = Notices(self.icons, speech)
        self.strip = Strip(speech)
        self.keeper = Keeper(parts.open_logbook, self.work, self.strip, self.voice, window)
        self.screens = Screens(
            parts.sections, (*parts.pages, *([parts.first_run] if parts.first_run else []))
        )
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self._side(BusyLabel(self.work, speech)))
        row.addLayout(self._column(ProgressRow(self.work, speech)), 1)

    @Slot()
    def next_part(self) -> None:
        """Move the keyboard from sections to notices, the screen, the strip, and round again."""
        focused = self.window().focusWidget()
        if focused is self.sidebar:
            moved = self.notices.take_focus() or self.screens.take_focus()
        elif self.notices.isAncestorOf(focused):
            moved = self.screens.take_focus()
        elif self.screens.isAncestorOf(focused):
            moved = self.strip.take_focus()
        else:
            moved = False
        if not moved:
            self.sidebar.setFocus()

    @Slot()
    def to_message(self) -> None:
        """Move the keyboard to what was said last, else to a notice."""
        if not self.strip.take_focus():
            self.notices.take_focus()

    def _side(self, busy: QWidget) -> QWidget:
        side = QWidget()
        side.setObjectName("side")
        side.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        rows = QVBoxLayout(side)
        rows.setSpacing(0)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(self.sidebar, 1)
        rows.addWidget(busy)
        return side

    def _column(self, progress: QWidget) -> QVBoxLayout:
        strip_row = QHBoxLayout()
        strip_row.setContentsMargins(16, 0, 16, 12)
        strip_row.addWidget(self.strip)
        column = QVBoxLayout()
        column.setSpacing(0)
        column.addWidget(self.notices)
        column.addWidget(self.screens, 1)
        column.addWidget(progress)
        column.addLayout(strip_row)
        return column
