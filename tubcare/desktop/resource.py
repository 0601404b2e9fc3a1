"""Finds the files that ship with the program: icons, style, help."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def resource(*parts: str) -> Path:
    """Return the path of a resource, in an installed package or in a checkout.

    Raises
    ------
    FileNotFoundError
        When the program was installed without its resources.
    """
    for root in (_PACKAGE / "resources", _PACKAGE.parent / "resources"):
        found = root.joinpath(*parts)
        if found.exists():
            return found
    raise FileNotFoundError("/".join(parts))
