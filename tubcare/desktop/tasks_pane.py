"""The pane beside a list of upkeep: record work in full, change a record, skip, put off."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.strip import announce
from tubcare.desktop.theme import main_action, worded
from tubcare.desktop.work import Fault
from tubcare.errors import AlreadyDoneError, InputError, OutOfRangeError, RuleError
from tubcare.services.upkeep_work import EarlyWorkError
from tubcare.words.dates import weekday_date
from tubcare.words.sentences.errors import trouble

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from tubcare.desktop.forms import Form
    from tubcare.desktop.screen import Context
    from tubcare.desktop.tasks_errands import Errand
    from tubcare.services.upkeep_model import Ticked
    from tubcare.services.work_kit import WorkKit


class DetailsPane(QWidget):
    """One thing to fill in at a time; Escape leaves it, Enter in a field does it."""

    opened = Signal(object)
    """Carries nothing (None): there is something to fill in."""
    closed = Signal(object)
    """Carries nothing (None): the pane is not needed any more."""
    done = Signal(object)
    """Carries a tuple: the `Errand`, and the `Ticked` that came of it."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._errand: Errand | None = None
        self._wanted: tuple[Errand, EarlyWorkError | None] | None = None
        self._kit: WorkKit | None = None
        self._area: QScrollArea | None = None
        self.form: Form | None = None
        self.heading = worded(_wrapped(), "group")
        self.message = worded(_wrapped(), "strong")
        self.keep_button = main_action(QPushButton())
        self.restart_button = QPushButton(context.say("Start its clock anew"))
        self.extra_button = QPushButton(context.say("Record as extra work"))
        self.cancel_button = QPushButton(context.say("Cancel"))
        self._rows = QVBoxLayout(self)
        self._rows.setContentsMargins(12, 0, 0, 0)
        self._rows.addWidget(self.heading)
        self._rows.addWidget(self.message)
        self._buttons = QHBoxLayout()
        for button, call in (
            (self.keep_button, self.keep),
            (self.restart_button, self._restart),
            (self.extra_button, self._extra),
            (self.cancel_button, self.leave),
        ):
            button.clicked.connect(call)
            self._buttons.addWidget(button)
        self._buttons.addStretch()
        self._rows.addLayout(self._buttons)

    def open(self, errand: Errand, early: EarlyWorkError | None = None) -> None:
        """Show what there is to fill in; `early` asks at once what early work means."""
        self._wanted = (errand, early)
        self._context.work.on_logbook(
            partial(errand.read, self._context.desk),
            done=self._show,
            title=self._context.say("Reading a task"),
            replaces=self,
        )

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave with Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
        else:
            super().keyPressEvent(event)

    @Slot()
    def leave(self) -> None:
        """Leave everything as it is."""
        self._clear()
        self.closed.emit(None)

    @Slot()
    def keep(self) -> None:
        """Do what was filled in."""
        self._hand_in(restarts=None)

    @Slot()
    def _restart(self) -> None:
        self._hand_in(restarts=True)

    @Slot()
    def _extra(self) -> None:
        self._hand_in(restarts=False)

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.keep()

    def _show(self, kit: WorkKit) -> None:
        if self._wanted is None:
            return
        errand, early = self._wanted
        self._clear()
        self._errand, self._kit = errand, kit
        self.form = errand.form(self._context, kit)
        self.form.submitted.connect(self._submit)
        self._area = scrolling(self.form)
        self._rows.insertWidget(1, self._area, 1)
        self.form.stop_after(
            self.keep_button, self.restart_button, self.extra_button, self.cancel_button
        )
        self.heading.setText(errand.heading(self._context, kit))
        self.keep_button.setText(errand.verb(self._context))
        self.opened.emit(None)
        self.form.focus_first()
        if early is not None:
            self._ask(early)

    def _hand_in(self, *, restarts: bool | None) -> None:
        errand, kit = self._errand, self._kit
        if errand is None or kit is None or self.form is None or not self.form.check():
            return
        self._context.work.on_logbook(
            errand.call(self._context.desk, kit, restarts=restarts),
            done=self._done,
            failed=self._refused,
            title=self._context.say("Recording"),
        )

    def _done(self, ticked: Ticked) -> None:
        errand = self._errand
        self._clear()
        self.closed.emit(None)
        self.done.emit((errand, ticked))

    def _refused(self, error: BaseException) -> None:
        if isinstance(error, EarlyWorkError):
            self._ask(error)
        elif isinstance(error, RuleError | InputError | OutOfRangeError):
            self._tell(error)
        else:
            title = self._context.say("Recording")
            self._context.work.faulted.emit(Fault(title=title, error=error))

    def _ask(self, error: EarlyWorkError) -> None:
        speech = self._context.speech
        if error.began_on is None:
            told = speech.say(
                "This is not due before {day}. Does its clock start anew with this work?",
                day=weekday_date(speech, error.opens_on),
            )
        else:
            told = speech.say(
                "This came into the plan on {day}, after this work. Does its clock run from this "
                "work on?",
                day=weekday_date(speech, error.began_on),
            )
        self._say(told)
        self.keep_button.hide()
        self.restart_button.show()
        self.extra_button.show()
        self.restart_button.setFocus()

    def _tell(self, error: RuleError | InputError | OutOfRangeError) -> None:
        if self.form is not None and self.form.show_error(error):
            return
        zone = None if self._kit is None else ZoneInfo(self._kit.zone)
        self._say(" ".join(trouble(self._context.speech, error, zone).lines))
        if isinstance(error, AlreadyDoneError):
            self.keep_button.hide()
            if self._errand is not None and self._errand.kind == "work":
                self.extra_button.show()
                self.extra_button.setFocus()

    def _say(self, text: str) -> None:
        self.message.setText(text)
        self.message.show()
        announce(self.message, text)

    def _clear(self) -> None:
        if self._area is not None:
            self._rows.removeWidget(self._area)
            self._area.hide()
            self._area.deleteLater()
        self._area = self._errand = self._kit = self.form = None
        self.message.hide()
        self.keep_button.show()
        self.restart_button.hide()
        self.extra_button.hide()


def _wrapped() -> QLabel:
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label
