"""The window's side of the logbook: opens it, hears its changes, takes back and does again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from tubcare.desktop.logbook import Standing
from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.logbook import Logbook
    from tubcare.desktop.strip import Strip
    from tubcare.desktop.work import Work
    from tubcare.services.topics import Topics
    from tubcare.words.locale import Speech

_STANDING = "standing"


class Voice:
    """The speech in use; it gets the logbook's currency once that is open."""

    def __init__(self, speech: Speech) -> None:
        self.speech = speech


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A logbook that was opened; of its standing only the currency is known yet."""

    logbook: Logbook
    needs_setup: bool
    standing: Standing


class Keeper(QObject):
    """Holds the open logbook for the window; everything it asks is asked in the background."""

    opened = Signal(object)
    """Carries the `Opened`."""
    not_opened = Signal(object)
    """Carries the error (BaseException) that stood in the way."""
    standing_changed = Signal(object)
    """Carries the new `Standing`."""
    topics_changed = Signal(object)
    """Carries the `Topics` of a use case that committed, in the window's thread."""

    def __init__(
        self,
        open_logbook: Callable[[], Logbook],
        work: Work,
        strip: Strip,
        voice: Voice,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self.logbook: Logbook | None = None
        self.standing = Standing()
        self._open_logbook = open_logbook
        self._work = work
        self._strip = strip
        self._voice = voice
        self.topics_changed.connect(self._follow)

    @Slot()
    def open(self) -> None:
        """Open the logbook, if it is not open."""
        if self.logbook is None:
            self._work.on_logbook(
                self._open,
                done=self._take,
                failed=self.not_opened.emit,
                title=self._voice.speech.say("Opening the logbook"),
                replaces=self,
            )

    def open_after(self, mend: Callable[[], None]) -> None:
        """Mend what kept the logbook from opening, and open it."""
        self._work.on_logbook(
            mend,
            done=self._open_mended,
            failed=self.not_opened.emit,
            title=self._voice.speech.say("Bringing a backup back"),
        )

    @Slot()
    def look_again(self) -> None:
        """Read again what the frame of the window shows."""
        if self.logbook is not None:
            self._work.on_logbook(
                self.logbook.standing,
                done=self._show,
                title=self._voice.speech.say("Reading the logbook"),
                replaces=_STANDING,
            )

    @Slot()
    def undo(self) -> None:
        """Take back the newest action of the person."""
        if self.logbook is not None:
            title = self._voice.speech.say("Undo")
            self._work.on_logbook(self.logbook.undo, done=self._say_undone, title=title)

    @Slot()
    def redo(self) -> None:
        """Do again what was taken back last."""
        if self.logbook is not None:
            title = self._voice.speech.say("Redo")
            self._work.on_logbook(self.logbook.redo, done=self._say_redone, title=title)

    def close(self) -> tuple[str, ...]:
        """Finish what was begun, let go of the logbook; return what was cut off."""
        left = self._work.close(last=None if self.logbook is None else self.logbook.close)
        self.logbook = None
        return left

    def _open_mended(self, _nothing: None) -> None:
        self.open()

    def _open(self) -> Opened:
        logbook = self._open_logbook()
        return Opened(
            logbook=logbook,
            needs_setup=logbook.needs_setup(),
            standing=Standing(currency=logbook.currency()),
        )

    def _take(self, opened: Opened) -> None:
        self.logbook = opened.logbook
        opened.logbook.on_change(self.topics_changed.emit)
        self._show(opened.standing)
        self.opened.emit(opened)
        # The first screen asks first; what can be undone and the count of due things can wait.
        self.look_again()

    @Slot(object)
    def _follow(self, topics: Topics) -> None:
        if topics != frozenset({Topic.REMINDERS}):
            self.look_again()

    def _show(self, standing: Standing) -> None:
        self.standing = standing
        if standing.currency and standing.currency != self._voice.speech.currency.code:
            self._voice.speech = self._voice.speech.with_currency(standing.currency)
        self.standing_changed.emit(standing)

    def _say_undone(self, what: str) -> None:
        self._strip.say(self._voice.speech.say("Taken back: {what}", what=what))

    def _say_redone(self, what: str) -> None:
        self._strip.say(self._voice.speech.say("Done again: {what}", what=what))
