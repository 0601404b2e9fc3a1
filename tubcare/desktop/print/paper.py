"""The colours of what is printed: always the light ones, as paper is white."""

from __future__ import annotations

from tubcare.desktop.shades import Shades, read_shades


def on_paper() -> Shades:
    """Return the colours for paper."""
    return read_shades()["light"]
