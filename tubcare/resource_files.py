"""Files that belong to the program: in the installed package, or beside it in a checkout."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path


def resource_folder(*parts: str) -> Path:
    """Return the path of a resource."""
    inside = Path(str(files("tubcare"))) / "resources"
    root = inside if inside.is_dir() else Path(__file__).resolve().parent.parent / "resources"
    return root.joinpath(*parts)
