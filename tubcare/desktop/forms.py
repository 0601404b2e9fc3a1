"""Forms: rows of labelled fields that say beside the field what is wrong, after it was left."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QLineEdit, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.strip import announce
from tubcare.desktop.theme import worded
from tubcare.errors import InputError, OutOfRangeError
from tubcare.words.sentences.reasons import reason_sentence

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from PySide6.QtCore import QObject
    from PySide6.QtGui import QKeyEvent

    from tubcare.words.locale import Speech


_LABEL_LETTERS = 24
_MOST_LABEL_PX = 34


@dataclass(slots=True)
class _Row:
    key: str
    label: QLabel
    editor: QWidget
    read: Callable[[], object] | None
    hint: str
    below: QLabel


class Form(QWidget):
    """Labelled fields below each other. Nothing that was typed is ever thrown away by it."""

    submitted = Signal(object)
    """Carries nothing (None): Enter was pressed in a field and all fields can be used."""

    def __init__(self, speech: Speech) -> None:
        super().__init__()
        self._speech = speech
        self._rows: list[_Row] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(14)
        self._grid.setVerticalSpacing(10)
        self._grid.setColumnStretch(1, 1)
        # Forms below each other line up, unless one has a longer label than most.
        self._grid.setColumnMinimumWidth(0, _LABEL_LETTERS * self.fontMetrics().averageCharWidth())

    def add_row(
        self,
        key: str,
        label: str,
        editor: QWidget,
        *,
        read: Callable[[], object] | None = None,
        hint: str = "",
    ) -> None:
        """Add a field.

        Parameters
        ----------
        key
            Name of the field in errors (`InputError.field`).
        label
            What the field is for; an ampersand makes the next letter its mnemonic.
        editor
            The widget to type in; it gets the label as accessible name.
        read
            Bound method that raises `InputError` or `OutOfRangeError` for what cannot be used.
        hint
            A short line below the field, shown while there is no error.
        """
        words = QLabel(label)
        words.setBuddy(editor)
        editor.setAccessibleName(label.replace("&", ""))
        editor.installEventFilter(self)
        below = worded(QLabel(hint), "muted")
        below.setTextFormat(Qt.TextFormat.PlainText)
        below.setWordWrap(True)
        # Shown by its parent: a label without one would be a window of its own.
        if not hint:
            below.hide()
        cell = QVBoxLayout()
        cell.setSpacing(2)
        cell.addWidget(editor)
        cell.addWidget(below)
        self._lay(key, words, cell)
        row = _Row(key, words, editor, read, hint, below)
        self._rows.append(row)
        if isinstance(editor, QLineEdit):
            editor.textChanged.connect(partial(self._mend, row))

    def clear_rows(self) -> None:
        """Take all fields away."""
        self._rows.clear()
        while (item := self._grid.takeAt(0)) is not None:
            inside = item.layout()
            if inside is not None:
                while (part := inside.takeAt(0)) is not None:
                    _take_away(part.widget())
            _take_away(item.widget())

    def look_over(self) -> None:
        """Show what is wrong with each field now, without moving the keyboard."""
        for row in self._rows:
            self._check(row)

    def focus_first(self) -> None:
        """Give the keyboard to the first field."""
        if self._rows:
            self._rows[0].editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def stop_after(self, *buttons: QWidget) -> None:
        """Let Tab visit the buttons below the form right after its last field."""
        before = self._rows[-1].editor
        for button in buttons:
            QWidget.setTabOrder(before, button)
            before = button

    def check(self) -> bool:
        """Return whether all fields can be used; show what is wrong, and go to the first fault."""
        asked = [row for row in self._rows if not row.editor.isHidden()]
        faulty = [row for row in asked if not self._check(row)]
        if faulty:
            faulty[0].editor.setFocus(Qt.FocusReason.OtherFocusReason)
            announce(faulty[0].editor, faulty[0].below.text())
        return not faulty

    def show_error(self, error: BaseException) -> bool:
        """Show what a service said about a field beside it; return whether it is one of ours."""
        if not isinstance(error, InputError | OutOfRangeError):
            return False
        key = error.field if isinstance(error, InputError) else error.name
        for row in self._rows:
            if row.key == key:
                self._tell(row, _reason(error, self._speech))
                row.editor.setFocus(Qt.FocusReason.OtherFocusReason)
                announce(row.editor, row.below.text())
                return True
        return False

    def show_rows(self, keys: Collection[str]) -> None:
        """Show these fields alone; the others keep what was typed, and are not asked for."""
        for row in self._rows:
            shown = row.key in keys
            row.label.setVisible(shown)
            row.editor.setVisible(shown)
            row.below.setVisible(shown and bool(row.below.text()))

    def set_hint(self, key: str, hint: str) -> None:
        """Change the line below a field; an error that is shown there stays."""
        for row in self._rows:
            if row.key == key:
                row.hint = hint
                if not row.editor.property("faulty"):
                    row.below.setText(hint)
                    row.below.setVisible(bool(hint))

    def error_of(self, key: str) -> str:
        """Return what is shown as wrong with a field, empty when nothing is."""
        return next(
            (
                row.below.text()
                for row in self._rows
                if row.key == key and row.editor.property("faulty")
            ),
            "",
        )

    @override
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Look at a field when it is left; an error goes away as soon as it is mended."""
        if event.type() is QEvent.Type.FocusOut:
            for row in self._rows:
                if row.editor is watched:
                    self._check(row)
        return super().eventFilter(watched, event)

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Hand the form in with Enter."""
        if event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter} and self.check():
            self.submitted.emit(None)
            return
        super().keyPressEvent(event)

    def _mend(self, row: _Row, _text: str) -> None:
        if row.editor.property("faulty"):
            self._check(row)

    def _lay(self, _key: str, words: QLabel, cell: QVBoxLayout) -> None:
        """Put the next field where it belongs: its label on the left."""
        place = len(self._rows)
        buddy = words.buddy()
        self._grid.addWidget(words, place, 0, Qt.AlignmentFlag.AlignTop)
        # In line with a field of one line; beside more lines it stands at the top.
        words.setMinimumHeight(min(_MOST_LABEL_PX, max(30, buddy.sizeHint().height())))
        self._grid.addLayout(cell, place, 1)

    def _check(self, row: _Row) -> bool:
        if row.read is None:
            return True
        try:
            row.read()
        except (InputError, OutOfRangeError) as error:
            self._tell(row, _reason(error, self._speech))
            return False
        self._tell(row, "")
        return True

    def _tell(self, row: _Row, fault: str) -> None:
        row.below.setText(fault or row.hint)
        row.below.setVisible(bool(fault or row.hint))
        if bool(row.editor.property("faulty")) == bool(fault):
            return
        worded(row.below, "error" if fault else "muted")
        row.editor.setProperty("faulty", bool(fault))
        row.editor.setAccessibleDescription(fault)
        for widget in (row.editor, row.below):
            widget.style().unpolish(widget)
            widget.style().polish(widget)


def _take_away(widget: QWidget | None) -> None:
    if widget is not None:
        widget.hide()
        widget.deleteLater()


def _reason(error: InputError | OutOfRangeError, speech: Speech) -> str:
    if isinstance(error, OutOfRangeError):
        return speech.say(
            "This must lie between {low:g} and {high:g}.", low=error.low, high=error.high
        )
    return reason_sentence(speech, error.reason)
