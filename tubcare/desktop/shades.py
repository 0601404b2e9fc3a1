"""The colours of the window as data: read from the theme file, made a palette and a style."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from string import Template
from typing import TYPE_CHECKING, Final

from PySide6.QtGui import QColor, QPalette

from tubcare.desktop.resource import resource

if TYPE_CHECKING:
    from collections.abc import Mapping

_Role = QPalette.ColorRole
_ROLES: Final = {
    _Role.Window: "window",
    _Role.WindowText: "window_text",
    _Role.Base: "base",
    _Role.AlternateBase: "alternate_base",
    _Role.Text: "text",
    _Role.Button: "button",
    _Role.ButtonText: "button_text",
    _Role.BrightText: "error",
    _Role.Highlight: "highlight",
    _Role.HighlightedText: "highlighted_text",
    _Role.Link: "link",
    _Role.LinkVisited: "link",
    _Role.ToolTipBase: "tooltip_base",
    _Role.ToolTipText: "tooltip_text",
    _Role.PlaceholderText: "muted",
    _Role.Accent: "primary",
    _Role.Light: "base",
    _Role.Midlight: "button_hover",
    _Role.Mid: "hairline",
    _Role.Dark: "border",
    _Role.Shadow: "border",
}
_GREYED: Final = (_Role.WindowText, _Role.Text, _Role.ButtonText)
_TITLE_SIZE = 1.7
_GROUP_SIZE = 1.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Shades:
    """One set of colours, light or dark, by the names of the theme file."""

    name: str
    colours: Mapping[str, str]
    series: tuple[str, ...]

    def colour(self, role: str) -> QColor:
        """Return the colour of a role of the theme file."""
        return QColor(self.colours[role])

    def series_colour(self, place: int) -> QColor:
        """Return the colour of a chart's series; they come round again after the last."""
        return QColor(self.series[place % len(self.series)])

    def palette(self) -> QPalette:
        """Return the palette that all widgets draw with."""
        made = QPalette()
        for role, name in _ROLES.items():
            made.setColor(role, self.colour(name))
        for role in _GREYED:
            made.setColor(QPalette.ColorGroup.Disabled, role, self.colour("disabled"))
        return made

    def style_sheet(self, point_size: float) -> str:
        """Return the style of the window for a text size in points."""
        text = resource("style", "window.qss").read_text(encoding="utf-8")
        return Template(text).substitute(
            self.colours,
            check_mark=resource("style", "check.svg").as_posix(),
            title_pt=f"{point_size * _TITLE_SIZE:.1f}",
            group_pt=f"{point_size * _GROUP_SIZE:.1f}",
        )


def read_shades() -> Mapping[str, Shades]:
    """Return the sets of colours by their name, `light` and `dark`."""
    data = tomllib.loads(resource("style", "theme.toml").read_text(encoding="utf-8"))
    return {
        name: Shades(
            name=name,
            colours={role: value for role, value in table.items() if isinstance(value, str)},
            series=tuple(table["series"]),
        )
        for name, table in data.items()
    }
