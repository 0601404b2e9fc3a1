"""Notices inside the window: reminders, and what went wrong, until somebody deals with them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tubcare.desktop.buttons import first_stop
from tubcare.desktop.strip import announce
from tubcare.desktop.theme import worded

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.icons import Icons
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
        self._cards: dict[str, _Card] = {}
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
        card = _Card(notice, self._icons, self._speech, self)
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


class _AnswerButton(QPushButton):
    chosen = Signal(object)

    def __init__(self, answer: Answer) -> None:
        super().__init__(answer.text)
        self._offered = answer
        self.clicked.connect(self._choose)

    @Slot()
    def _choose(self) -> None:
        self.chosen.emit(self._offered)


class _Card(QFrame):
    closed = Signal(object)

    def __init__(self, notice: Notice, icons: Icons, speech: Speech, parent: QWidget) -> None:
        super().__init__(parent)
        self.setProperty("notice", "fault" if notice.is_fault else "reminder")
        self._notice = notice
        self._speech = speech
        self._buttons: list[QPushButton] = []
        title = worded(_plain(notice.title), "strong")
        drawing = QLabel()
        drawing.setPixmap(
            icons.pixmap(
                "fault" if notice.is_fault else "bell",
                "fault_text" if notice.is_fault else "notice_text",
                scale=self.devicePixelRatioF(),
            )
        )
        words = QVBoxLayout()
        words.setSpacing(2)
        words.addWidget(title)
        if notice.text:
            words.addWidget(_plain(notice.text))
        self._details = _details(notice.details, speech)
        words.addWidget(self._details)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 8, 8, 8)
        row.setSpacing(12)
        row.addWidget(drawing, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(words, 1)
        buttons = QHBoxLayout()
        row.addLayout(buttons)
        row.setAlignment(buttons, Qt.AlignmentFlag.AlignTop)
        self._fill(buttons)

    def first_button(self) -> QPushButton:
        return self._buttons[0]

    def last_button(self) -> QPushButton:
        return self._buttons[-1]

    def stop_after(self, widget: QWidget) -> None:
        for button in self._buttons:
            QWidget.setTabOrder(widget, button)
            widget = button

    def _fill(self, row: QHBoxLayout) -> None:
        for answer in self._notice.answers:
            button = _AnswerButton(answer)
            button.chosen.connect(self._answer)
            self._place(row, button)
        if self._notice.details:
            self._button(row, self._speech.say("Details")).clicked.connect(self._toggle_details)
            self._button(row, self._speech.say("Copy details")).clicked.connect(self._copy_details)
        self._button(row, self._speech.say("Close")).clicked.connect(self._close)

    def _button(self, row: QHBoxLayout, text: str) -> QPushButton:
        button = QPushButton(text)
        self._place(row, button)
        return button

    def _place(self, row: QHBoxLayout, button: QPushButton) -> None:
        button.setAccessibleDescription(self._notice.title)
        self._buttons.append(button)
        row.addWidget(button)

    @Slot(object)
    def _answer(self, answer: Answer) -> None:
        self._close()
        answer.call()

    @Slot()
    def _toggle_details(self) -> None:
        self._details.setVisible(self._details.isHidden())

    @Slot()
    def _copy_details(self) -> None:
        QGuiApplication.clipboard().setText(self._notice.details)

    @Slot()
    def _close(self) -> None:
        self.closed.emit(self._notice.key)


def _plain(text: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label


def _details(text: str, speech: Speech) -> QPlainTextEdit:
    box = QPlainTextEdit(text)
    box.setReadOnly(True)
    box.setTabChangesFocus(True)
    box.setAccessibleName(speech.say("Details"))
    box.setMaximumHeight(box.fontMetrics().lineSpacing() * 9)
    box.hide()
    return box
