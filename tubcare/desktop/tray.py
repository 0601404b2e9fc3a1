"""Where there is a tray, closing the window leaves the reminders running; quitting never hides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Slot
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtWidgets import QMenu, QSystemTrayIcon

if TYPE_CHECKING:
    from tubcare.desktop.keeping import Keeping
    from tubcare.desktop.shell import Window

_GOES_ON = "window/goes_on_when_closed"
_SAID = "window/said_that_it_goes_on"


class Tray(QObject):
    """The icon in the tray, and the setting in the menu “File”."""

    def __init__(self, window: Window, keeping: Keeping, *, available: bool) -> None:
        super().__init__(window)
        self._window = window
        self._keeping = keeping
        self._icon: QSystemTrayIcon | None = None
        say = window.voice.speech.say
        self.setting = QAction(say("&Keep reminding after the window is closed"), window)
        self.setting.setCheckable(True)
        self.setting.setChecked(available and keeping.switch(_GOES_ON, default=True))
        self.setting.setEnabled(available)
        window.menus.add_to_file(self.setting)
        self.setting.toggled.connect(self._choose)
        window.goes_on_when_closed = self.setting.isChecked()
        if not available:
            return
        # Else hiding the last window would end the program.
        QGuiApplication.setQuitOnLastWindowClosed(False)
        self._menu = QMenu(window)
        self._menu.addAction(say("&Open")).triggered.connect(self.show_window)
        self._menu.addAction(say("&Quit")).triggered.connect(window.quit)
        self._icon = QSystemTrayIcon(window.icons.icon("tub", "primary"), window)
        self._icon.setToolTip(window.windowTitle())
        self._icon.setContextMenu(self._menu)
        self._icon.activated.connect(self._follow_click)
        self._icon.messageClicked.connect(self.show_window)
        self._icon.show()
        window.windowTitleChanged.connect(self._icon.setToolTip)
        window.hidden_to_tray.connect(self._say_once)

    @Slot()
    def show_window(self) -> None:
        """Bring the window to the front."""
        self._window.showNormal() if self._window.isMinimized() else self._window.show()
        self._window.raise_()
        self._window.activateWindow()

    @Slot(object)
    def _follow_click(self, reason: QSystemTrayIcon.ActivationReason) -> None:
        if reason is not QSystemTrayIcon.ActivationReason.Context:
            self.show_window()

    @Slot(bool)
    def _choose(self, on: bool) -> None:  # noqa: FBT001  the signal's value
        self._window.goes_on_when_closed = on
        self._keeping.keep(_GOES_ON, on)

    @Slot()
    def _say_once(self) -> None:
        if self._icon is None or self._keeping.switch(_SAID, default=False):
            return
        self._keeping.keep(_SAID, True)  # noqa: FBT003  a value
        say = self._window.voice.speech.say
        text = say("tubcare goes on reminding you. Quit it in the menu of this icon.")
        self._icon.showMessage("tubcare", text)
        self._window.strip.say(
            say("The reminders went on while the window was closed; the menu “File” changes that.")
        )


def tray_available() -> bool:
    """Return whether this desktop has a place for tray icons."""
    return QSystemTrayIcon.isSystemTrayAvailable()
