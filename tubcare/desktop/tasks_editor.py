"""The editor of a task: its fields, rules and steps, with the next dates while it is written."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.tasks_editor_fields import EditorFields
from tubcare.desktop.tasks_preview import PreviewView
from tubcare.desktop.tasks_steps import wrapped
from tubcare.desktop.theme import main_action, worded
from tubcare.desktop.work import Fault
from tubcare.errors import InputError, OutOfRangeError, RuleError
from tubcare.services.edit_kit import EditKit, edit_kit
from tubcare.services.task_edits import TaskDraft, add_task, change_task
from tubcare.services.task_preview import Preview, preview
from tubcare.words.sentences.errors import trouble

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent, QResizeEvent

    from tubcare.desktop.screen import Context
    from tubcare.desktop.work import Ticket
    from tubcare.services.desk import Desk
    from tubcare.values import TaskId

FIELDS_SHARE, PREVIEW_SHARE = 3, 2
ROOMY_LETTERS = 110


class TaskEditor(QWidget):
    """Nothing is kept before “Keep”; Escape and “Cancel” leave the plan as it is."""

    kept = Signal(object)
    """Carries the id of the task that was kept."""
    left = Signal()

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._kit: EditKit | None = None
        self.fields: EditorFields | None = None
        self._asked: Ticket | None = None
        say = context.say
        self.heading = worded(wrapped(""), "group")
        self.hint = worded(wrapped(""), "muted")
        self.message = worded(wrapped(""), "error")
        self.message.hide()
        self.keep_button = main_action(QPushButton(say("Keep")))
        self.cancel_button = QPushButton(say("Cancel"))
        self.preview = PreviewView(context)
        self._body = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        buttons = QHBoxLayout()
        buttons.addWidget(self.keep_button)
        buttons.addWidget(self.cancel_button)
        buttons.addWidget(self.message, 1)
        buttons.addStretch()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        for part in (self.heading, self.hint):
            rows.addWidget(part)
        rows.addLayout(self._body, 1)
        rows.addLayout(buttons)
        self.keep_button.clicked.connect(self.keep)
        self.cancel_button.clicked.connect(self.left)
        QShortcut(QKeySequence("Ctrl+S"), self, self.keep)

    def open(self, task: TaskId | None) -> None:
        """Read a task, None for a new one, and show it."""
        self._context.work.on_logbook(
            partial(edit_kit, self._context.desk, task),
            done=self._show,
            title=self._context.say("Reading a task"),
            replaces=self,
        )

    def take_focus(self) -> None:
        """Give the keyboard to the title."""
        if self.fields is not None:
            self.fields.form.title_entry.setFocus()

    @override
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the dates below the fields where there is no room beside them."""
        narrow = event.size().width() < ROOMY_LETTERS * self.fontMetrics().averageCharWidth()
        directions = QBoxLayout.Direction
        self._body.setDirection(directions.TopToBottom if narrow else directions.LeftToRight)
        self.preview.stand(below=narrow)
        super().resizeEvent(event)

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Leave with Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)

    @Slot()
    def keep(self) -> None:
        """Keep the task, or go to what cannot be used."""
        fields = self.fields
        if self._kit is None or fields is None or not fields.is_sound():
            return
        draft = fields.draft()
        if draft is None:
            return
        self._context.work.on_logbook(
            partial(_keep, self._context.desk, self._kit, draft),
            done=self._say_kept,
            failed=self._refused,
            title=self._context.say("Keeping the task"),
        )

    def _show(self, kit: EditKit) -> None:
        self._kit = kit
        say = self._context.say
        new = say("New task")
        self.heading.setText(new if kit.is_new else say("Change: {task}", task=kit.draft.title))
        self.hint.setText(
            say("Once changed it is your own: drawing the plan anew leaves it alone.")
        )
        self.hint.setVisible(kit.from_template)
        self.fields = fields = EditorFields(self._context, kit)
        self._body.addWidget(scrolling(fields), FIELDS_SHARE)
        self._body.addWidget(self.preview, PREVIEW_SHARE)
        fields.usual.stop_after(self.keep_button, self.cancel_button)
        fields.changed.connect(self._look_again)
        fields.submitted.connect(self._submit)
        fields.form.title_entry.setFocus()
        self._look()

    @Slot(object)
    def _look_again(self, _nothing: object) -> None:
        self._look()

    @Slot()
    def _look(self) -> None:
        """Ask what the task would bring, as it is written now; the newest question counts."""
        draft = None if self.fields is None else self.fields.draft()
        if draft is None or self._kit is None:
            if self._asked is not None:
                # Its answer is about something that is no longer written.
                self._asked.stop()
            self.preview.show_nothing()
            return
        self._asked = self._context.work.on_logbook(
            partial(preview, self._context.desk, draft, self._kit.task),
            done=self._show_preview,
            title=self._context.say("Working out the dates"),
            replaces=self.preview,
        )

    def _show_preview(self, found: Preview) -> None:
        if self.fields is None:
            return
        faults = {f.trigger: f.error for f in found.faults if f.trigger is not None}
        self.fields.rules.tell_faults(faults)
        self.preview.show_preview(found)

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.keep()

    def _say_kept(self, done: tuple[TaskId, str]) -> None:
        task, title = done
        text = self._context.say("Kept: {what}.", what=title)
        self._context.strip.say(text, undo=self._context.undo)
        self.kept.emit(task)

    def _refused(self, error: BaseException) -> None:
        if self.fields is not None and self.fields.show_error(error):
            return
        if isinstance(error, RuleError | InputError | OutOfRangeError):
            self._say(error)
            self._look()
            return
        title = self._context.say("Keeping the task")
        self._context.work.faulted.emit(Fault(title=title, error=error))

    def _say(self, error: RuleError | InputError | OutOfRangeError) -> None:
        self.message.setText(" ".join(trouble(self._context.speech, error).lines))
        self.message.show()


def _keep(desk: Desk, kit: EditKit, draft: TaskDraft) -> tuple[TaskId, str]:
    if kit.is_new:
        return add_task(desk, draft), draft.title
    change_task(desk, kit.task, draft, revision=kit.revision)
    return kit.task, draft.title
