"""One notice: its words, its buttons, its details."""

from __future__ import annotations

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

from tubcare.desktop.buttons import tab_through
from tubcare.desktop.theme import worded

if TYPE_CHECKING:
    from tubcare.desktop.icons import Icons
    from tubcare.desktop.notices import Answer, Notice
    from tubcare.words.locale import Speech


class _AnswerButton(QPushButton):
    chosen = Signal(object)

    def __init__(self, answer: Answer) -> None:
        super().__init__(answer.text)
        self._offered = answer
        self.clicked.connect(self._choose)

    @Slot()
    def _choose(self) -> None:
        self.chosen.emit(self._offered)


class Card(QFrame):
    """A framed notice with a button for each answer."""

    closed = Signal(object)
    """Carries the key (str) of the notice."""

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
        """Return where the keyboard arrives first."""
        return self._buttons[0]

    def last_button(self) -> QPushButton:
        """Return the last stop of the keyboard."""
        return self._buttons[-1]

    def stop_after(self, widget: QWidget) -> None:
        """Let Tab visit the buttons right after `widget`."""
        tab_through(widget, self._buttons)

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
