"""The screens of the window: made when first shown, refreshed when what they show changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QStackedWidget

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QAction
    from PySide6.QtWidgets import QWidget

    from tubcare.desktop.screen import Context, Screen
    from tubcare.desktop.section import Section
    from tubcare.services.topics import Topics

_PATH_LENGTH = 50


class Screens(QStackedWidget):
    """Shows one screen at a time, and remembers the way back."""

    shown = Signal(object)
    """Carries the key (str) of the section that is now shown, or whose actions changed."""

    def __init__(self, sections: Sequence[Section], pages: Sequence[Section]) -> None:
        super().__init__()
        self._sections = {section.key: section for section in sections}
        self._first = sections[0].key if sections else ""
        self._sections |= {page.key: page for page in pages}
        self._context: Context | None = None
        self._made: dict[str, Screen] = {}
        self._stale: set[str] = set()
        self._path: list[str] = []
        self.key = ""
        """Key of the section that is shown, empty when none is."""

    @property
    def title(self) -> str:
        """Return the title of the shown section."""
        return self._sections[self.key].title if self.key else ""

    @property
    def current(self) -> Screen | None:
        """Return the shown screen."""
        return self._made.get(self.key)

    @property
    def actions_of_screen(self) -> Sequence[QAction]:
        """Return what the shown screen can do."""
        return tuple(self.current.menu_actions) if self.current is not None else ()

    @property
    def can_go_back(self) -> bool:
        """Return whether another screen was shown before."""
        return bool(self._path)

    def set_context(self, context: Context) -> None:
        """Take what screens are made with."""
        self._context = context

    def show_page(self, page: QWidget) -> None:
        """Show something that is no section."""
        if self.indexOf(page) < 0:
            self.addWidget(page)
        self.key = ""
        self.setCurrentWidget(page)

    def show_section(self, key: str, subject: object = None, *, focus: bool = True) -> None:
        """Show a section (the first one when the key is unknown), and a subject in it."""
        wanted = key if key in self._sections else self._first
        if self.key and wanted != self.key:
            self._path = [*self._path[-_PATH_LENGTH:], self.key]
        self._show(wanted, focus=focus)
        if subject is not None and self.current is not None:
            self.current.show_subject(subject)

    def back(self) -> None:
        """Show the section that was shown before."""
        if self._path:
            self._show(self._path.pop(), focus=True)

    def take_focus(self) -> bool:
        """Give the keyboard to the shown screen; return whether there is one."""
        if self.current is None:
            return False
        self.current.take_focus()
        return True

    def refresh(self, topics: Topics) -> None:
        """Refresh the shown screen if it is concerned; others when they are shown next."""
        self._stale |= {key for key, made in self._made.items() if made.topics & topics}
        self._freshen()

    @Slot()
    def refresh_all(self) -> None:
        """Refresh every screen, the hidden ones when they are shown next."""
        self._stale = set(self._made)
        self._freshen()

    def _show(self, key: str, *, focus: bool) -> None:
        if self._context is None:
            return
        screen = self._made.get(key)
        if screen is None:
            screen = self._sections[key].make(self._context)
            screen.actions_changed.connect(self._follow_actions)
            self._made[key] = screen
            self._stale.add(key)
            self.addWidget(screen)
        self.key = key
        self.setCurrentWidget(screen)
        self._freshen()
        if focus:
            screen.take_focus()
        self.shown.emit(key)

    def _freshen(self) -> None:
        if self.current is not None and self.key in self._stale:
            self._stale.discard(self.key)
            self.current.refresh()

    @Slot(object)
    def _follow_actions(self, screen: Screen) -> None:
        if screen is self.current:
            self.shown.emit(self.key)
