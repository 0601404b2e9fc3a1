"""The program's own icons: one-colour drawings, tinted with a colour of the theme."""

from __future__ import annotations

import weakref
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QObject, QRectF, QSize, Qt, Slot
from PySide6.QtGui import QGuiApplication, QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer
from shiboken6 import isValid

from tubcare.desktop.resource import resource

if TYPE_CHECKING:
    from tubcare.desktop.theme import Theme

SIZE = 20
_INK = "#000"
_PAPER = "#fff"
_MODES = {
    QIcon.Mode.Disabled: "disabled",
    QIcon.Mode.Selected: "highlighted_text",
}


class _Bearer(Protocol):
    def setIcon(self, icon: QIcon, /) -> None: ...  # noqa: N802  Qt's name


class Icons(QObject):
    """Draws each icon once for its colour, size and scale; forgets all when the theme changes."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self._theme = theme
        self._drawn: dict[tuple[str, str, int, float], QPixmap] = {}
        self._icons: dict[tuple[str, str, int, str, float], QIcon] = {}
        self._bearers: list[tuple[weakref.ref[_Bearer], str, str]] = []
        theme.changed.connect(self._forget)

    def pixmap(self, name: str, role: str, size: int = SIZE, scale: float = 1.0) -> QPixmap:
        """Return the drawing `name` in the theme colour `role`, `size` logical pixels wide."""
        key = (name, role, size, scale)
        found = self._drawn.get(key)
        if found is None:
            found = self._drawn[key] = self._draw(key)
        return found

    def icon(
        self, name: str, role: str = "text", *, size: int = SIZE, selected: str = ""
    ) -> QIcon:
        """Return an icon that also looks right when disabled and when selected."""
        app = QGuiApplication.instance()
        scale = app.devicePixelRatio() if isinstance(app, QGuiApplication) else 1.0
        key = (name, role, size, selected, scale)
        made = self._icons.get(key)
        if made is not None:
            return made
        icon = self._icons[key] = QIcon(self.pixmap(name, role, size, scale))
        for mode, mode_role in _MODES.items():
            wanted = selected if selected and mode is QIcon.Mode.Selected else mode_role
            icon.addPixmap(self.pixmap(name, wanted, size, scale), mode)
        return icon

    def put_on(self, bearer: _Bearer, name: str, role: str = "text") -> None:
        """Give an action or button an icon, and the new one whenever the theme changes."""
        bearer.setIcon(self.icon(name, role))
        self._bearers.append((weakref.ref(bearer), name, role))

    @Slot()
    def _forget(self) -> None:
        self._drawn.clear()
        self._icons.clear()
        kept = []
        for reference, name, role in self._bearers:
            bearer = reference()
            if bearer is not None and isValid(bearer):
                bearer.setIcon(self.icon(name, role))
                kept.append((reference, name, role))
        self._bearers = kept

    def _draw(self, key: tuple[str, str, int, float]) -> QPixmap:
        name, role, size, scale = key
        shades = self._theme.shades
        paper = "base" if role != "highlighted_text" else "highlight"
        drawing = resource("icons", f"{name}.svg").read_text(encoding="utf-8")
        drawing = drawing.replace(f'"{_INK}"', f'"{shades.colours[role]}"')
        drawing = drawing.replace(f'"{_PAPER}"', f'"{shades.colours[paper]}"')
        pixmap = QPixmap(QSize(round(size * scale), round(size * scale)))
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        QSvgRenderer(drawing.encode()).render(painter, QRectF(pixmap.rect()))
        painter.end()
        pixmap.setDevicePixelRatio(scale)
        return pixmap
