"""Notices inside the window: reminders, and what went wrong, until somebody deals with them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from tubcare.desktop.buttons import first_stop
from tubcare.desktop.strip import announce

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.icons import Icons
    from tubcare.desktop.notice_card import Card
    from tubcare.words.locale import Speech


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A button of a notice: its verb, and what it does (a bound method)."""

    text: str
    call: Callable[[], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """Something a person should know of. A notice with the same key takes its place."""

    key: str
    title: str
    text: str = ""
    answers: tuple[Answer, ...] = ()
    details: str = ""
    """For somebody who helps; shown on request, and can be copied."""
    is_fault: bool = False


class Notices(QWidget):
    """The notices, one below the other; never a window of its own, never in the way."""

    withdrawn = Signal(object)
    """Carries the key (str) of a notice that the person put away."""

    def __init__(self, icons: Icons, speech: Speech, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._icons = icons
        self._speech = speech
        self._cards: dict[str, Card] = {}
        self._first_stop = first_stop(self)
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(16, 12, 16, 0)
        self.hide()

    @property
    def keys(self) -> tuple[str, ...]:
        """Return the keys of what is shown, the oldest first."""
        return tuple(self._cards)

    def put(self, notice: Notice) -> None:
        """Show a notice, in place of the one with the same key."""
        self._remove(notice.key)
        from tubcare.desktop.notice_card import Card  # noqa: PLC0415  not before the first paint

        card = Card(notice, self._icons, self._speech, self)
        self._rows.addWidget(card)
        card.closed.connect(self._put_away)
        before = [made.last_button() for made in self._cards.values()]
        card.stop_after(before[-1] if before else self._first_stop)
        self._cards[notice.key] = card
        self.show()
        announce(card, f"{notice.title}. {notice.text}")

    def withdraw(self, key: str) -> None:
        """Take a notice away, because it was dealt with elsewhere."""
        self._remove(key)
        self.setVisible(bool(self._cards))

    def take_focus(self) -> bool:
        """Move the keyboard to the first notice; return whether there is one."""
        for card in self._cards.values():
            card.first_button().setFocus(Qt.FocusReason.ShortcutFocusReason)
            return True
        return False

    @Slot(object)
    def _put_away(self, key: str) -> None:
        self.withdraw(key)
        self.withdrawn.emit(key)

    def _remove(self, key: str) -> None:
        card = self._cards.pop(key, None)
        if card is not None:
            self._rows.removeWidget(card)
            card.hide()
            card.deleteLater()
