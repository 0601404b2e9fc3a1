"""The care plan: its tasks, and one task whole with steps and cautions."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QPlainTextEdit, QSplitter
from typing_extensions import override

from tubcare.desktop.marks import MARKS, state_word
from tubcare.desktop.screen import Screen
from tubcare.desktop.speaking import speech_of
from tubcare.desktop.table import Column, RowsModel, Table
from tubcare.services.task_edits import drop_task
from tubcare.services.tasks import TaskDetail, TaskLine, task_detail, task_list
from tubcare.services.topics import Topic
from tubcare.words.dates import medium_date

if TYPE_CHECKING:
    from tubcare.desktop.marks import Mark
    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.topics import Topics
    from tubcare.words.locale import Speech


class TasksScreen(Screen):
    """Lists the plan and shows the chosen task."""

    topics: ClassVar[Topics] = frozenset({Topic.TASKS, Topic.UPKEEP, Topic.TUBS})

    def __init__(self, context: Context) -> None:
        say = context.say
        super().__init__(context, say("Tasks"))
        self._speech = context.speech
        columns = (
            Column(key="title", title=say("Task"), text=_title, sort=_title, stretch=True),
            Column(key="tub", title=say("Tub"), text=_tub, sort=_tub),
            Column(
                key="state", title=say("State"), text=self._state, mark=_mark, sort=self._state
            ),
            Column(key="next", title=say("Next"), text=self._next, sort=_next_key),
        )
        self.model = RowsModel(columns, context.icons, identity=_identity)
        self.table = Table(say("Care plan"), "tasks", self.model, context.keeping)
        self.detail = QPlainTextEdit()
        self.detail.setReadOnly(True)
        self.detail.setTabChangesFocus(True)
        self.detail.setAccessibleName(say("The chosen task"))
        splitter = QSplitter(Qt.Orientation.Horizontal)
        splitter.addWidget(self.table)
        splitter.addWidget(self.detail)
        splitter.setStretchFactor(0, 3)
        splitter.setStretchFactor(1, 2)
        self.body.addWidget(splitter, 1)
        self.add_action(say("D&rop from the plan"), self._drop, keys="Del", button=True)
        self.table.row_chosen.connect(self._choose)

    @override
    def refresh(self) -> None:
        """Read the plan anew."""
        self.context.work.on_logbook(
            partial(_read, self.context.desk),
            done=self._show,
            title=self.context.say("Reading the care plan"),
            replaces="tasks",
        )

    @override
    def show_subject(self, subject: object) -> None:
        """Choose a task that another screen sent the person here for."""
        self.table.choose(subject)

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the list."""
        self.table.setFocus()

    def _show(self, read: tuple[tuple[TaskLine, ...], Speech]) -> None:
        lines, self._speech = read
        self.model.set_rows(lines)
        self.say_below_title(self._speech.say_count("{n} task", "{n} tasks", len(lines)))

    @Slot(object)
    def _choose(self, line: TaskLine | None) -> None:
        if line is None:
            self.detail.clear()
            return
        self.context.work.on_logbook(
            partial(task_detail, self.context.desk, line.id),
            done=self._show_detail,
            title=self.context.say("Reading a task"),
            replaces="task",
        )

    def _show_detail(self, detail: TaskDetail) -> None:
        self.detail.setPlainText(_told(self._speech, detail))

    @Slot()
    def _drop(self) -> None:
        line = self.table.current_row
        if line is not None:
            self.context.work.on_logbook(
                partial(_drop_one, self.context.desk, line),
                done=self._say_dropped,
                title=self.context.say("Dropping a task"),
            )

    def _say_dropped(self, title: str) -> None:
        text = self.context.say("Dropped from the plan: {what}.", what=title)
        self.context.strip.say(text, undo=self.context.undo)

    def _next(self, line: TaskLine) -> str:
        return "" if line.next_due is None else medium_date(self._speech, line.next_due)

    def _state(self, line: TaskLine) -> str:
        return "" if line.status is None else state_word(self._speech, line.status)


def _read(desk: Desk) -> tuple[tuple[TaskLine, ...], Speech]:
    return task_list(desk), speech_of(desk)


def _drop_one(desk: Desk, line: TaskLine) -> str:
    drop_task(desk, line.id)
    return line.title


def _identity(line: TaskLine) -> int:
    return line.id


def _title(line: TaskLine) -> str:
    return line.title


def _tub(line: TaskLine) -> str:
    return line.tub_name


def _mark(line: TaskLine) -> Mark | None:
    return None if line.status is None else MARKS[line.status]


def _next_key(line: TaskLine) -> str:
    return "" if line.next_due is None else line.next_due.isoformat()


def _told(speech: Speech, detail: TaskDetail) -> str:
    """Return a task as plain text: why, steps, tools, cautions, sources."""
    card = detail.card
    parts = [detail.title, card.why]
    parts += [speech.say("Caution: {text}", text=text) for text in detail.general_cautions]
    for number, (text, cautions) in enumerate(detail.steps, 1):
        beside = [speech.say("Caution: {text}", text=caution) for caution in cautions]
        parts.append("\n".join([f"{number}. {text}", *beside]))
    if card.tools:
        parts.append(speech.say("Tools: {names}", names=", ".join(card.tools)))
    if detail.supplies:
        names = ", ".join(supply.name for supply in detail.supplies)
        parts.append(speech.say("Uses: {names}", names=names))
    parts += [speech.say("Source: {text}", text=source) for source in card.sources]
    return "\n\n".join(part for part in parts if part)
