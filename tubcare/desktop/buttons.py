"""Buttons that stand for an action of the menu, and follow it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QPushButton, QWidget

from tubcare.desktop.theme import main_action

if TYPE_CHECKING:
    from collections.abc import Iterable

    from PySide6.QtGui import QAction


class ActionButton(QPushButton):
    """A push button with the text, icon and state of an action."""

    def __init__(
        self, action: QAction, *, main: bool = False, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._action = action
        self._main = main
        self._was_visible = True
        if main:
            main_action(self)
        self.setCursor(Qt.CursorShape.ArrowCursor)
        self.clicked.connect(action.trigger)
        action.changed.connect(self._follow)
        self._follow()

    @Slot()
    def _follow(self) -> None:
        action = self._action
        # A mnemonic of the menu would be a second owner of the same key in the window.
        self.setText(action.text().replace("&", ""))
        if not self._main:
            self.setIcon(action.icon())
        self.setEnabled(action.isEnabled())
        # Only when that changes: a button without a parent yet would show as a window of its own.
        if action.isVisible() is not self._was_visible:
            self._was_visible = action.isVisible()
            self.setVisible(self._was_visible)
        self.setToolTip(_tip(action))


def first_stop(parent: QWidget) -> QWidget:
    """Return an invisible widget at which Tab arrives first, to put others behind it."""
    stop = QWidget(parent)
    stop.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
    stop.setFixedSize(0, 0)
    stop.hide()
    return stop


def tab_through(first: QWidget, stops: Iterable[QWidget]) -> None:
    """Let Tab go from one widget through others, which would come last as new ones do."""
    for stop in stops:
        QWidget.setTabOrder(first, stop)
        first = stop


def _tip(action: QAction) -> str:
    keys = action.shortcut().toString()
    text = action.text().replace("&", "")
    return f"{text} ({keys})" if keys else ""
