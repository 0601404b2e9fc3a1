"""The strip at the bottom of the window: says what was done, offers to take it back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget
from typing_extensions import override

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtCore import QObject
    from PySide6.QtGui import QEnterEvent, QKeyEvent

    from tubcare.words.locale import Speech

SHOWN_MS: Final = 8000


class Strip(QFrame):
    """One message at a time, gone by itself; it stays while it is pointed at or has the focus."""

    said = Signal(object)
    """Carries the text (str) that was just said."""

    def __init__(self, speech: Speech, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self._undo: Callable[[], None] | None = None
        self._details: Callable[[], None] | None = None
        self._text = QLabel()
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setWordWrap(True)
        self._text.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._speech = speech
        self._buttons: list[QPushButton] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(14, 6, 8, 6)
        self._row.addWidget(self._text, 1)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(SHOWN_MS)
        self._timer.timeout.connect(self.put_away)
        self.hide()

    @property
    def text(self) -> str:
        """Return what is being said, empty when nothing is."""
        return self._text.text() if not self.isHidden() else ""

    def say(
        self,
        text: str,
        *,
        undo: Callable[[], None] | None = None,
        details: Callable[[], None] | None = None,
    ) -> None:
        """Show `text` for eight seconds, and tell screen readers.

        Parameters
        ----------
        text
            What was recorded or happened, in one sentence; never read as HTML.
        undo, details
            Bound methods behind the two buttons; without one its button is not shown.
        """
        self._undo = undo
        self._details = details
        self._text.setText(text)
        self._clear()
        if undo is not None:
            self._button(self._speech.say("Undo")).clicked.connect(self._take_back)
        if details is not None:
            self._button(self._speech.say("Details")).clicked.connect(self._show_details)
        close = self._button(self._speech.say("Close"))
        close.setAccessibleDescription(self._speech.say("Puts this message away"))
        close.clicked.connect(self.put_away)
        self.show()
        self._wait()
        announce(self, text)
        self.said.emit(text)

    @Slot()
    def put_away(self) -> None:
        """Take the message away."""
        self._timer.stop()
        had_focus = self.isAncestorOf(self.window().focusWidget())
        if had_focus:
            self.focusNextChild()
        self.hide()
        self._clear()
        self._undo = self._details = None

    def take_focus(self) -> bool:
        """Move the keyboard here; return whether there is a message to go to."""
        if self.isHidden():
            return False
        self._buttons[0].setFocus(Qt.FocusReason.ShortcutFocusReason)
        return True

    @override
    def enterEvent(self, event: QEnterEvent) -> None:
        """Stay while the pointer is here."""
        self._timer.stop()

    @override
    def leaveEvent(self, event: QEvent) -> None:
        """Go on waiting when the pointer left."""
        self._wait()

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Put the message away with Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.put_away()
        else:
            super().keyPressEvent(event)

    @override
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay while one of the buttons has the focus."""
        if event.type() is QEvent.Type.FocusIn:
            self._timer.stop()
        elif event.type() is QEvent.Type.FocusOut:
            self._wait()
        return super().eventFilter(watched, event)

    def _button(self, text: str) -> QPushButton:
        # Made for each message: new widgets come last when Tab goes round, as the strip should.
        button = QPushButton(text)
        button.installEventFilter(self)
        self._buttons.append(button)
        self._row.addWidget(button)
        return button

    def _clear(self) -> None:
        for button in self._buttons:
            button.hide()
            button.deleteLater()
        self._buttons.clear()

    def _wait(self) -> None:
        if not self.isHidden():
            self._timer.start()

    @Slot()
    def _take_back(self) -> None:
        call = self._undo
        self.put_away()
        if call is not None:
            call()

    @Slot()
    def _show_details(self) -> None:
        call = self._details
        self.put_away()
        if call is not None:
            call()


def announce(widget: QWidget, text: str) -> None:
    """Have a screen reader say `text` without moving the focus (WCAG 2.2, 4.1.3)."""
    from PySide6.QtGui import (  # noqa: PLC0415  its many enumerations cost the start 5 ms
        QAccessible,
        QAccessibleAnnouncementEvent,
    )

    QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(widget, text))
