"""The list of sections at the side of the window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, QSize, Qt, Signal, Slot
from PySide6.QtWidgets import QListWidget, QListWidgetItem
from typing_extensions import override

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QShowEvent

    from tubcare.desktop.icons import Icons
    from tubcare.desktop.section import Section
    from tubcare.desktop.theme import Theme
    from tubcare.words.locale import Speech

_KEY = Qt.ItemDataRole.UserRole


class Sidebar(QListWidget):
    """One line for each section; arrow keys move, the shown section is the current line."""

    section_chosen = Signal(object)
    """Carries the key (str) of the section to show."""

    def __init__(
        self, sections: Sequence[Section], icons: Icons, theme: Theme, speech: Speech
    ) -> None:
        super().__init__()
        self.setObjectName("sidebar")
        self.setAccessibleName(speech.say("Sections"))
        self.setIconSize(QSize(20, 20))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._sections = tuple(sections)
        self._icons = icons
        self._speech = speech
        self._titles = [speech.say(section.title) for section in sections]
        self._counts: dict[str, int] = {}
        for section, title in zip(sections, self._titles, strict=True):
            item = QListWidgetItem(title)
            item.setData(_KEY, section.key)
            self.addItem(item)
        self._redraw()
        self._fit()
        self.currentItemChanged.connect(self._choose)
        theme.changed.connect(self._redraw)

    def mark(self, key: str) -> None:
        """Make the section of that key the current line, without choosing it anew.

        A page that is no section leaves no line marked.
        """
        with QSignalBlocker(self):
            self.clearSelection()
            for row, section in enumerate(self._sections):
                if section.key == key:
                    self.setCurrentRow(row)

    def set_count(self, key: str, count: int) -> None:
        """Show how many things wait in a section; none when zero."""
        self._counts[key] = count
        for row, section in enumerate(self._sections):
            if section.key == key:
                title = said = self._titles[row]
                if count:
                    title = f"{title}  ({count})"
                    said = self._speech.say("{section}, {count} due", section=said, count=count)
                self.item(row).setText(title)
                self.item(row).setData(Qt.ItemDataRole.AccessibleTextRole, said)
        self._fit()

    @override
    def changeEvent(self, event: QEvent) -> None:
        """Keep all titles readable when the text size changes."""
        super().changeEvent(event)
        if event.type() is event.Type.FontChange and hasattr(self, "_sections"):
            self._fit()

    @override
    def showEvent(self, event: QShowEvent) -> None:
        """Lay the lines out anew: they were measured before the style was known."""
        super().showEvent(event)
        self.scheduleDelayedItemsLayout()

    @Slot()
    def _redraw(self) -> None:
        for row, section in enumerate(self._sections):
            icon = self._icons.icon(section.icon, "sidebar_text", selected="sidebar_selected_text")
            self.item(row).setIcon(icon)

    @Slot()
    def _choose(self) -> None:
        item = self.currentItem()
        if item is not None:
            self.section_chosen.emit(item.data(_KEY))

    def _fit(self) -> None:
        widest = max(
            (self.fontMetrics().horizontalAdvance(f"{title}  (99)") for title in self._titles),
            default=80,
        )
        self.setFixedWidth(widest + 84)
