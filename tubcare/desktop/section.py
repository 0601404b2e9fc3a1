"""An entry of the window's sidebar."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.screen import Context, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """An entry of the sidebar. `make` is called when the section is first shown."""

    key: str
    title: str
    """In English, as it stands in the translations."""
    icon: str
    make: Callable[[Context], Screen]
