"""A list of what is kept, with the form below it that adds to it or changes it by name."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from tubcare.desktop.theme import worded
from tubcare.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Callable

    from tubcare.desktop.forms import Form
    from tubcare.desktop.screen import Context

_LIST_HEIGHT = 130
_FORM_LETTERS = 74


class Change(NamedTuple):
    """What a service shall do, and the name of the thing it is done to."""

    call: Callable[[], object]
    name: str


class KeptList(QWidget):
    """Shows a table and a form; what is typed stays when the service refuses it."""

    def __init__(
        self,
        context: Context,
        table: QWidget,
        form: Form,
        *,
        keep: Callable[[], Change],
        drop: Callable[[], Change | None],
    ) -> None:
        super().__init__()
        self._context, self._form = context, form
        self._keep_call, self._drop_call = keep, drop
        say = context.say
        table.setMinimumHeight(_LIST_HEIGHT)
        form.setMaximumWidth(_FORM_LETTERS * form.fontMetrics().averageCharWidth())
        self.keep = QPushButton(say("Keep"))
        self.keep.clicked.connect(self._keep)
        form.submitted.connect(self._submit)
        drop_button = QPushButton(say("Take the chosen one off the list"))
        drop_button.clicked.connect(self._drop)
        buttons = QHBoxLayout()
        buttons.addWidget(self.keep)
        buttons.addStretch(1)
        buttons.addWidget(drop_button)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(12, 12, 12, 10)
        rows.setSpacing(10)
        rows.addWidget(table, 1)
        rows.addWidget(worded(QLabel(say("Add one, or change it by its name")), "strong"))
        rows.addWidget(form)
        rows.addLayout(buttons)

    @Slot()
    def _keep(self) -> None:
        if not self._form.check():
            return
        try:
            change = self._keep_call()
        except (InputError, OutOfRangeError) as error:
            self._form.show_error(error)
            return
        self._run(change, self._context.say("Kept: {what}.", what=change.name))

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self._keep()

    @Slot()
    def _drop(self) -> None:
        change = self._drop_call()
        if change is not None:
            self._run(change, self._context.say("Off the list: {what}.", what=change.name))

    def _run(self, change: Change, text: str) -> None:
        self._context.work.on_logbook(
            change.call,
            done=partial(self._said, text),
            failed=self._failed,
            title=self._context.say("Changing the shelf"),
        )

    def _said(self, text: str, _result: object) -> None:
        self._context.strip.say(text, undo=self._context.undo)

    def _failed(self, error: BaseException) -> None:
        if not self._form.show_error(error):
            self._context.strip.say(str(error))
