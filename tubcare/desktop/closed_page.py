"""The page that the window shows when the logbook could not be opened."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tubcare.desktop.theme import main_action, worded

if TYPE_CHECKING:
    from tubcare.desktop.faults import Explained
    from tubcare.words.locale import Speech


class ClosedPage(QWidget):
    """Says why the logbook could not be opened, and what can be done."""

    again_wanted = Signal(object)
    """Carries nothing (None)."""
    quit_wanted = Signal(object)
    """Carries nothing (None)."""

    backup_wanted = Signal(object)
    """Carries nothing (None): bring the newest backup back."""

    def __init__(self, told: Explained, speech: Speech) -> None:
        super().__init__()
        self._details_text = told.details
        heading = worded(_plain(told.happened), "group")
        text = _plain(told.text)
        self._details = QPlainTextEdit(told.details)
        self._details.setReadOnly(True)
        self._details.setTabChangesFocus(True)
        self._details.setAccessibleName(speech.say("Details"))
        self._details.hide()
        self.again_button = main_action(QPushButton(speech.say("Try again")))
        self.backup_button = QPushButton(speech.say("Bring the newest backup back"))
        self.backup_button.hide()
        details_button = QPushButton(speech.say("Details"))
        copy_button = QPushButton(speech.say("Copy details"))
        quit_button = QPushButton(speech.say("Quit"))
        buttons = QHBoxLayout()
        for button in (
            self.again_button,
            self.backup_button,
            details_button,
            copy_button,
            quit_button,
        ):
            buttons.addWidget(button)
        buttons.addStretch()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(48, 24, 48, 24)
        rows.setSpacing(12)
        rows.addStretch(1)
        for row in (heading, text):
            rows.addWidget(row)
        rows.addLayout(buttons)
        rows.addWidget(self._details, 2)
        rows.addStretch(2)
        self.again_button.clicked.connect(self._again)
        self.backup_button.clicked.connect(self._bring_back)
        details_button.clicked.connect(self._toggle)
        copy_button.clicked.connect(self._copy)
        quit_button.clicked.connect(self._quit)

    @Slot()
    def _again(self) -> None:
        self.again_wanted.emit(None)

    @Slot()
    def _bring_back(self) -> None:
        self.backup_wanted.emit(None)

    @Slot()
    def _quit(self) -> None:
        self.quit_wanted.emit(None)

    @Slot()
    def _toggle(self) -> None:
        self._details.setVisible(self._details.isHidden())

    @Slot()
    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self._details_text)


def _plain(text: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    label.setWordWrap(True)
    return label
