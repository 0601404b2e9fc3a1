"""How the window looks: light or dark with the system, and the size of the text."""

from __future__ import annotations

import sys
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication

from tubcare.desktop.shades import read_shades

if TYPE_CHECKING:
    from PySide6.QtCore import Qt
    from PySide6.QtWidgets import QLabel, QPushButton

    from tubcare.desktop.keeping import Keeping

from tubcare.desktop.shades import Shades

TEXT_STEPS: Final = (80, 90, 100, 110, 125, 150, 175, 200)
_NORMAL: Final = 100
_APPEARANCE = "look/appearance"
_TEXT = "look/text_percent"


class Appearance(StrEnum):
    """Which colours the person wants."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


class Theme(QObject):
    """Dresses the application, and dresses it anew when the system or the person changes it."""

    changed = Signal(object)
    """Carries the `Shades` now in use."""

    def __init__(self, app: QApplication, keeping: Keeping) -> None:
        super().__init__(app)
        self._app = app
        self._keeping = keeping
        self._all = read_shades()
        self._font = app.font()
        self._appearance = _appearance(keeping.text(_APPEARANCE))
        self._percent = _nearest(keeping.number(_TEXT, _NORMAL))
        self._as_given = _look_of(app.palette())
        if self._appearance is Appearance.SYSTEM:
            self.shades = self._all[self._as_given]
        else:
            app.styleHints().setColorScheme(_scheme(self._appearance))
            self.shades = self._all[self._appearance]
        self._dress()
        app.styleHints().colorSchemeChanged.connect(self.follow_system)

    @property
    def appearance(self) -> Appearance:
        """Return what the person chose."""
        return self._appearance

    @property
    def text_percent(self) -> int:
        """Return the text size in percent of the system's."""
        return self._percent

    def choose(self, appearance: Appearance) -> None:
        """Use these colours from now on, and remember it."""
        self._appearance = appearance
        self._keeping.keep(_APPEARANCE, appearance.value)
        self._app.styleHints().setColorScheme(_scheme(appearance))
        self._show(self._wanted())

    @Slot()
    def larger_text(self) -> None:
        """Make all text one step larger."""
        self._set_percent(
            min((s for s in TEXT_STEPS if s > self._percent), default=TEXT_STEPS[-1])
        )

    @Slot()
    def smaller_text(self) -> None:
        """Make all text one step smaller."""
        self._set_percent(max((s for s in TEXT_STEPS if s < self._percent), default=TEXT_STEPS[0]))

    @Slot()
    def normal_text(self) -> None:
        """Give all text the system's size."""
        self._set_percent(_NORMAL)

    @Slot()
    def follow_system(self) -> None:
        """Take the colours of the system, unless the person chose others."""
        wanted = self._wanted()
        if wanted is not self.shades:
            self._show(wanted)

    def close(self) -> None:
        """Follow the system no more; the application looks as the system gave it."""
        self._app.styleHints().colorSchemeChanged.disconnect(self.follow_system)
        self._app.setPalette(QPalette())

    def _set_percent(self, percent: int) -> None:
        self._percent = percent
        self._keeping.keep(_TEXT, percent)
        self._show(self.shades)

    def _wanted(self) -> Shades:
        if self._appearance is not Appearance.SYSTEM:
            return self._all[self._appearance]
        told = self._app.styleHints().colorScheme()
        for look in (Appearance.LIGHT, Appearance.DARK):
            if told is _scheme(look):
                return self._all[look]
        # Without a platform theme Qt does not know the system's scheme.
        return self._all[self._as_given]

    def _show(self, shades: Shades) -> None:
        self.shades = shades
        self._dress()
        self.changed.emit(shades)

    def _dress(self) -> None:
        points = _points(self._font.pointSizeF()) * self._percent / _NORMAL
        font = self._app.font()
        font.setPointSizeF(points)
        self._app.setPalette(self.shades.palette())
        self._app.setFont(font)
        self._app.setStyleSheet(self.shades.style_sheet(points))


def make_application() -> QApplication:
    """Return the application, in the style that looks the same on every system.

    The style is named on the command line of Qt: asking Qt for it later takes 15 ms of the start.
    """
    found = QApplication.instance()
    if isinstance(found, QApplication):
        return found
    app = QApplication([sys.argv[0], "-style", "fusion"])
    app.setApplicationName("tubcare")
    return app


def main_action(button: QPushButton) -> QPushButton:
    """Give a button the look of the one main action of its screen."""
    button.setProperty("main", True)  # noqa: FBT003  a Qt property
    return button


def worded(label: QLabel, kind: str) -> QLabel:
    """Give a label the look of a `title`, `group`, `strong`, `muted` or `error` text."""
    label.setProperty("words", kind)
    return label


def _look_of(palette: QPalette) -> Appearance:
    """Return whether the system is light or dark, from the palette that it gave.

    Asking for its scheme loads all names of Qt's namespace, a tenth of the start: that is done
    after the first paint.
    """
    dark = palette.window().color().lightness() < palette.windowText().color().lightness()
    return Appearance.DARK if dark else Appearance.LIGHT


def _scheme(appearance: Appearance) -> Qt.ColorScheme:
    from PySide6.QtCore import Qt  # noqa: PLC0415  see `_look_of`

    return {
        Appearance.SYSTEM: Qt.ColorScheme.Unknown,
        Appearance.LIGHT: Qt.ColorScheme.Light,
        Appearance.DARK: Qt.ColorScheme.Dark,
    }[appearance]


def _appearance(kept: str) -> Appearance:
    try:
        return Appearance(kept)
    except ValueError:
        return Appearance.SYSTEM


def _nearest(percent: int) -> int:
    return min(TEXT_STEPS, key=lambda step: abs(step - percent))


def _points(size: float) -> float:
    # A font set in pixels has no size in points.
    return size if size > 0 else 10.0
