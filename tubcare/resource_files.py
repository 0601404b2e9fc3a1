"""Files that belong to the program: in the installed package, or beside it in a checkout."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path


def resource_folder(*parts: str) -> Path:
    """Return the path of a resource."""
    inside = Path(str(files("tubcare"))) / "resources"
    root = inside if inside.is_dir() else Path(__file__).resolve().parent.parent / "resources"
    return root.joinpath(*parts)


def read_text(relative: str) -> str:
    """Return the text of a resource, such as ``care_plans/water.toml``.

    Raises
    ------
    FileNotFoundError
        When the program was installed without that file.
    """
    return resource_folder(*relative.split("/")).read_text(encoding="utf-8")


def names(folder: str) -> tuple[str, ...]:
    """Return the names of the files in a folder of the resources, in order."""
    place = resource_folder(*folder.split("/"))
    return tuple(sorted(each.name for each in place.iterdir() if each.is_file()))


def read_texts(folder: str, suffix: str) -> dict[str, str]:
    """Return the text of every file in a folder whose name ends with `suffix`, by its name."""
    return {name: read_text(f"{folder}/{name}") for name in names(folder) if name.endswith(suffix)}
