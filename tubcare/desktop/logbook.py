"""What the window itself asks of the open logbook; screens talk to services on their own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.services.desk import Desk
    from tubcare.services.topics import Topics


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What the frame of the window shows of the logbook."""

    undo: str = ""
    """What the next undo takes back, in words; empty when there is nothing."""
    redo: str = ""
    currency: str = ""
    """ISO 4217 code, empty while the logbook is not set up."""
    due: int = 0
    """How many things are due, late or overdue."""


class Logbook(Protocol):
    """An open logbook as the window's frame needs it; used in the logbook's thread alone."""

    @property
    def desk(self) -> Desk:
        """Return where use cases work."""
        ...

    @property
    def place(self) -> str:
        """Return the file or address, as shown to people."""
        ...

    def needs_setup(self) -> bool:
        """Return whether this logbook is new and empty."""
        ...

    def currency(self) -> str:
        """Return the ISO 4217 code, empty while the logbook is not set up."""
        ...

    def standing(self) -> Standing:
        """Return what can be undone and how much is due."""
        ...

    def undo(self) -> str:
        """Take back the newest action; return it in words."""
        ...

    def redo(self) -> str:
        """Do again what was taken back; return it in words."""
        ...

    def on_change(self, listener: Callable[[Topics], None]) -> None:
        """Call `listener` after each use case that committed, in whichever thread it ran."""
        ...

    def close(self) -> None:
        """Let go of the file."""
        ...
