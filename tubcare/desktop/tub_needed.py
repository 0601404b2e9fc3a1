"""What stands in a screen while the logbook has no tub: why it is empty, and the way on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget, QWidget

from tubcare.desktop.screen import EmptyState

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Screen


class TubNeeded(QStackedWidget):
    """Shows its content once there is a tub, else says why not and offers to describe one."""

    def __init__(
        self,
        screen: Screen,
        content: QWidget,
        text: str,
        *,
        describe: Callable[[], None] | None = None,
    ) -> None:
        super().__init__()
        say = screen.context.say
        self._screen = screen
        self._others = tuple(screen.menu_actions)
        self.action: QAction = screen.add_action(
            say("Desc&ribe a tub…"), describe or self._describe
        )
        self.action.setEnabled(False)
        self.addWidget(content)
        self.addWidget(EmptyState(say("There is no tub yet"), text, self.action))

    def show_for(self, tubs: int) -> None:
        """Show the content where there are tubs; what makes no sense is greyed out."""
        changed = self.action.isEnabled() is not (tubs == 0)
        self.setCurrentIndex(0 if tubs else 1)
        self.action.setEnabled(not tubs)
        if changed:
            for action in self._others:
                action.setEnabled(bool(tubs))

    def _describe(self) -> None:
        self._screen.context.go("tub")
