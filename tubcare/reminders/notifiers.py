"""The ways in which a note reaches the person, put together: window, desktop, tray, terminal."""

from __future__ import annotations

import logging
import sys
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Protocol, TextIO

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from tubcare.reminders.freedesktop import DesktopBus
    from tubcare.reminders.notes import Note
    from tubcare.reminders.session import SessionFile

logger = logging.getLogger(__name__)


class Press(StrEnum):
    """What a button of a note does; `OPEN` is the note itself, a key the specification gives."""

    OPEN = "default"
    TICK_OFF = "tick_off"
    TOMORROW = "tomorrow"


class NoteWords(Protocol):
    """Makes the sentences of a note."""

    def title(self, note: Note) -> str:
        """Return the one line that is always seen."""
        ...

    def body(self, note: Note) -> str:
        """Return the lines below it, as plain text."""
        ...

    def button(self, press: Press) -> str:
        """Return what a button says."""
        ...


class WindowPlace(Protocol):
    """The place inside the window where notes stand until they are dealt with."""

    def show(self, note: Note) -> None:
        """Show a note; one with the same tag replaces the earlier one."""
        ...

    def withdraw(self, tag: str) -> None:
        """Take a note away; an unknown tag is no error."""
        ...


class Elsewhere(Protocol):
    """A place outside the window; returns False when it cannot reach the person (any more)."""

    def show(self, note: Note) -> bool:
        """Show a note; one with the same tag replaces the earlier one."""
        ...

    def withdraw(self, tag: str) -> None:
        """Take a note away."""
        ...


def presses_of(note: Note) -> tuple[Press, ...]:
    """Return the buttons that a note offers: several tasks are not ticked off unseen."""
    if note.is_digest:
        return (Press.OPEN, Press.TOMORROW)
    return (Press.OPEN, Press.TICK_OFF, Press.TOMORROW)


class Everywhere:
    """A notifier for the window: always inside it, and at the first outer place that works.

    Parameters
    ----------
    window
        The place inside the window.
    outside
        Tried in this order, such as the desktop's notifications, then the tray.
    """

    def __init__(self, window: WindowPlace, outside: Sequence[Elsewhere]) -> None:
        self._window = window
        self._outside = tuple(outside)

    def show(self, note: Note) -> None:
        """Show a note in the window and outside of it."""
        self._window.show(note)
        for place in self._outside:
            if place.show(note):
                return

    def withdraw(self, tags: Iterable[str]) -> None:
        """Take notes away wherever they are."""
        for tag in tags:
            self._window.withdraw(tag)
            for place in self._outside:
                place.withdraw(tag)


class Tray:
    """Balloons of the tray icon: title and text, no buttons, nothing to take away."""

    def __init__(self, words: NoteWords, balloon: Callable[[str, str], bool]) -> None:
        self._words = words
        self._balloon = balloon

    def show(self, note: Note) -> bool:
        """Show a balloon; False without a tray."""
        return self._balloon(self._words.title(note), self._words.body(note))

    def withdraw(self, tag: str) -> None:
        """Do nothing: a balloon goes by itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A button that a person pressed on a note."""

    tag: str
    press: Press


class DesktopNotes:
    """Notes as desktop notifications with buttons; falls silent when the bus goes away.

    Parameters
    ----------
    bus
        The open connection.
    words
        Makes the sentences.
    """

    def __init__(self, bus: DesktopBus, words: NoteWords) -> None:
        self._bus = bus
        self._words = words
        self._is_lost = False
        self._listeners: list[Callable[[], None]] = []

    def on_call(self, listener: Callable[[], None]) -> None:
        """Call `listener` after each call to the bus, which may have read answers on the way.

        The socket says nothing of those; the listener asks for them, later and not at once.
        """
        self._listeners.append(listener)

    @property
    def socket(self) -> int | None:
        """The socket to watch for answers, None when the bus is gone; open until `close`."""
        return None if self._is_lost else self._bus.fileno()

    def show(self, note: Note) -> bool:
        """Show a notification; False when the desktop does not take it."""
        from tubcare.reminders.freedesktop import Button  # noqa: PLC0415  Linux

        buttons = [Button(key=p.value, label=self._words.button(p)) for p in presses_of(note)]
        title, body = self._words.title(note), self._words.body(note)
        if self._is_lost:
            return False
        with self._guarded() as did:
            self._bus.show(note.tag, title, body, buttons, is_urgent=note.is_urgent)
            did.append(note.tag)
        self._tell()
        return bool(did)

    def withdraw(self, tag: str) -> None:
        """Close a notification."""
        if self._is_lost:
            return
        with self._guarded():
            self._bus.close(tag)
        self._tell()

    def answers(self) -> tuple[Answered, ...]:
        """Return what was pressed since the last call, without waiting.

        Call it when the socket can be read, and after each call to the bus.
        """
        if self._is_lost:
            return ()
        known = {press.value for press in Press}
        found: list[Answered] = []
        with self._guarded():
            found += [
                Answered(tag=each.tag, press=Press(each.key))
                for each in self._bus.pressed()
                if each.key in known
            ]
        return tuple(found)

    def close(self) -> None:
        """Close the connection; what was shown stays on the screen."""
        self._is_lost = True
        self._bus.disconnect()

    def _tell(self) -> None:
        for listener in self._listeners:
            listener()

    @contextmanager
    def _guarded(self) -> Iterator[list[str]]:
        """Pass over a service that refuses, which may be back later, and a bus that is gone."""
        from jeepney import DBusErrorResponse  # noqa: PLC0415  Linux

        from tubcare.reminders.freedesktop import NO_BUS_ERRORS  # noqa: PLC0415  Linux

        did: list[str] = []
        try:
            yield did
        except NO_BUS_ERRORS as error:
            logger.info("desktop notifications fail: %s", error)
            self._is_lost = not isinstance(error, DBusErrorResponse)


def desktop_notes(
    words: NoteWords, app_name: str, desktop_entry: str, file: SessionFile | None = None
) -> DesktopNotes | None:
    """Return desktop notifications where the session bus has the service, else None."""
    if sys.platform != "linux":
        return None
    from tubcare.reminders.freedesktop import NO_BUS_ERRORS, DesktopBus  # noqa: PLC0415  Linux

    try:
        return DesktopNotes(DesktopBus(app_name, desktop_entry, file), words)
    except NO_BUS_ERRORS as error:
        logger.info("no desktop notifications: %s", error)
        return None


class Printed:
    """Notes as lines of text, for a terminal."""

    def __init__(self, words: NoteWords, out: TextIO) -> None:
        self._words = words
        self._out = out

    def show(self, note: Note) -> None:
        """Print title and text, with control characters of a title made harmless."""
        lines = [self._words.title(note), *self._words.body(note).splitlines()]
        for number, line in enumerate(lines):
            text = "".join(c if c.isprintable() else " " for c in line)
            self._out.write(f"{'  ' if number else ''}{text}\n")
        self._out.flush()

    def withdraw(self, tags: Iterable[str]) -> None:
        """Do nothing: what is printed stays."""
