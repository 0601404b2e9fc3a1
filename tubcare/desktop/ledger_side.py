"""The side of the ledger: the chosen amount, or the form that is being filled in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)
from typing_extensions import override

from tubcare.desktop.ledger_detail import DetailPane
from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.theme import main_action, worded

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from tubcare.desktop.ledger_forms import LedgerForm
    from tubcare.desktop.screen import Context

_LEAST_LETTERS = 47


class LedgerSide(QStackedWidget):
    """Details of the chosen amount; a form takes their place until it is saved or left."""

    save_wanted = Signal(object)
    """Carries the `LedgerForm` whose fields can all be used."""
    left = Signal(object)
    """Carries nothing (None): the form was left without saving."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._give_room()
        self.detail = DetailPane(context)
        self.form: LedgerForm | None = None
        self._title = worded(QLabel(), "group")
        self._title.setWordWrap(True)
        self._title.setTextFormat(Qt.TextFormat.PlainText)
        self._forms = QVBoxLayout()
        holder = QWidget()
        holder.setLayout(self._forms)
        self._forms.setContentsMargins(0, 0, 6, 0)
        self._forms.addStretch()
        self._save = main_action(QPushButton(context.say("Save")))
        self._cancel = QPushButton(context.say("Cancel"))
        self._save.clicked.connect(self.save)
        self._cancel.clicked.connect(self.leave)
        buttons = QHBoxLayout()
        buttons.addWidget(self._save)
        buttons.addWidget(self._cancel)
        buttons.addStretch()
        page = QWidget()
        rows = QVBoxLayout(page)
        rows.setContentsMargins(12, 0, 0, 0)
        rows.setSpacing(10)
        rows.addWidget(self._title)
        rows.addWidget(scrolling(holder), 1)
        rows.addLayout(buttons)
        self.addWidget(scrolling(self.detail))
        self.addWidget(page)

    @property
    def shows_form(self) -> bool:
        """Return whether a form is being filled in."""
        return self.form is not None

    def open_form(self, form: LedgerForm) -> None:
        """Show a form and give the keyboard to its first field."""
        self.close_form()
        self.form = form
        self._title.setText(form.title)
        self._forms.insertWidget(0, form)
        form.submitted.connect(self.save)
        self.setCurrentIndex(1)
        for child in form.findChildren(QWidget):
            if child.focusPolicy() & Qt.FocusPolicy.TabFocus and child.isEnabled():
                child.setFocus(Qt.FocusReason.OtherFocusReason)
                break

    def close_form(self) -> None:
        """Show the chosen amount again."""
        if self.form is not None:
            self._forms.removeWidget(self.form)
            self.form.hide()
            self.form.deleteLater()
        self.form = None
        self.setCurrentIndex(0)

    @override
    def changeEvent(self, event: QEvent) -> None:
        """Take the room that a new text size needs."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange}:
            self._give_room()

    def _give_room(self) -> None:
        self.setMinimumWidth(_LEAST_LETTERS * self.fontMetrics().averageCharWidth())

    @Slot()
    def save(self) -> None:
        """Hand the form out, when all its fields can be used."""
        if self.form is not None and self.form.check():
            self.save_wanted.emit(self.form)

    @Slot()
    def leave(self) -> None:
        """Leave the form without saving."""
        self.close_form()
        self.left.emit(None)

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave the form with Escape."""
        if event.key() == Qt.Key.Key_Escape and self.shows_form:
            self.leave()
        else:
            super().keyPressEvent(event)
