"""The care plan: its tasks, one of them whole, and what a person does with them."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QStackedLayout, QWidget
from typing_extensions import override

from tubcare.desktop.screen import EmptyState, Screen
from tubcare.desktop.table import RowsModel, Table
from tubcare.desktop.tasks_acts import TaskActs
from tubcare.desktop.tasks_columns import identity, task_columns
from tubcare.desktop.tasks_page import TaskPageView
from tubcare.desktop.tasks_subjects import AddTask, ChangeTask
from tubcare.desktop.upkeep_side import UpkeepSide
from tubcare.services.task_record import TaskPage, task_page
from tubcare.services.tasks import TaskLine, task_list
from tubcare.services.topics import Topic

if TYPE_CHECKING:
    from PySide6.QtGui import QAction

    from tubcare.desktop.screen import Context
    from tubcare.desktop.tasks_editor import TaskEditor
    from tubcare.desktop.tasks_offers import OffersPage
    from tubcare.services.topics import Topics
    from tubcare.values import TaskId


class TasksScreen(Screen):
    """Lists the plan, shows the chosen task, and opens what changes it."""

    topics: ClassVar[Topics] = frozenset({Topic.TASKS, Topic.UPKEEP, Topic.TUBS, Topic.STOCK})

    def __init__(self, context: Context) -> None:
        super().__init__(context, context.say("Tasks"))
        self._wanted: object = None
        self.editor: TaskEditor | None = None
        self.offers: OffersPage | None = None
        self.model = RowsModel(task_columns(context), context.icons, identity=identity)
        self.table = Table(context.say("Care plan"), "tasks", self.model, context.keeping)
        self.page = TaskPageView(context)
        lists = QWidget()
        self._lists = QStackedLayout(lists)
        self._lists.addWidget(self.table)
        self.side = UpkeepSide(context, "tasks", lists, self.page, keyboard=self.table)
        self.acts = TaskActs(context, self.side)
        holder = QWidget()
        self._pages = QStackedLayout(holder)
        self._pages.addWidget(self.side)
        self.body.addWidget(holder, 1)
        self._browsing = self._add_actions()
        empty = EmptyState(
            context.say("No task in the plan"),
            context.say("A plan is drawn up with the tub. A task of your own can be added here."),
            self._browsing[-2],
        )
        self._lists.addWidget(empty)
        self.table.row_chosen.connect(self._choose)
        self.table.row_opened.connect(self._into_page)
        self.table.space_pressed.connect(self.acts.tick)
        self.acts.stale.connect(self._read_again)
        self.page.step_ticked.connect(self._tick_step)
        self.page.history.amend_wanted.connect(self.side.amend)
        self.page.history.delete_wanted.connect(self.acts.delete_record)

    @override
    def refresh(self) -> None:
        """Read the plan anew, and the chosen task."""
        self.context.work.on_logbook(
            partial(task_list, self.context.desk),
            done=self._show,
            title=self.context.say("Reading the care plan"),
            replaces="tasks",
        )
        if self.offers is not None:
            self.offers.refresh()

    @override
    def show_subject(self, subject: object) -> None:
        """Choose a task, or open the editor, when another screen sent the person here for it."""
        if isinstance(subject, ChangeTask):
            self._edit(subject.task)
            subject = subject.task
        elif isinstance(subject, AddTask):
            self._edit(None)
            return
        elif self._pages.currentWidget() is not self.side:
            self._browse()
        if not self.table.choose(subject):
            self._wanted = subject

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the list, or to what stands in its place."""
        shown = self._pages.currentWidget()
        if shown is self.side:
            self.table.setFocus()
        elif self.editor is not None and shown is self.editor:
            self.editor.take_focus()
        elif self.offers is not None:
            self.offers.take_focus()

    def _add_actions(self) -> tuple[QAction, ...]:
        say, add = self.context.say, self.add_action
        return (
            add(
                say("&Tick off with details…"),
                self._record,
                icon="tick",
                keys="Ctrl+Return",
                main=True,
            ),
            add(say("C&hange…"), self._change, icon="edit", keys="F2", button=True),
            add(say("S&kip once…"), self._skip, icon="skip", keys="Ctrl+K"),
            add(say("Put off to a d&ay…"), self._put_off, icon="put-off", keys="Ctrl+Shift+T"),
            add(say("D&rop from the plan"), self._drop, keys="Del"),
            add(say("&New task…"), self._new, icon="add", keys="Ctrl+N", button=True),
            add(say("Dropped and &offered tasks…"), self._show_offers, keys="Ctrl+Shift+N"),
        )

    def _show(self, lines: tuple[TaskLine, ...]) -> None:
        self.model.set_rows(lines)
        count = self.context.speech.say_count("{n} task", "{n} tasks", len(lines))
        self.say_below_title(count)
        self._lists.setCurrentIndex(0 if lines else 1)
        if self._wanted is not None and self.table.choose(self._wanted):
            self._wanted = None
        elif self.table.current_row is None and lines:
            self.table.setCurrentIndex(self.model.index(0, 0))
        self._choose(self.table.current_row)

    @Slot(object)
    def _choose(self, line: TaskLine | None) -> None:
        for action in self._browsing[:-2]:
            action.setEnabled(line is not None)
        if line is None:
            self.page.show_task(None)
            return
        self.context.work.on_logbook(
            partial(task_page, self.context.desk, line.id),
            done=self._show_page,
            title=self.context.say("Reading a task"),
            replaces="task",
        )

    def _show_page(self, page: TaskPage) -> None:
        self.page.show_task(page)

    @Slot(object)
    def _into_page(self, _line: TaskLine) -> None:
        self.page.take_focus()

    # What is done with a task

    @Slot()
    def _record(self) -> None:
        if (line := self.table.current_row) is not None:
            self.side.record(line.id)

    @Slot()
    def _skip(self) -> None:
        if (line := self.table.current_row) is not None:
            self.side.skip(line.id)

    @Slot()
    def _put_off(self) -> None:
        if (line := self.table.current_row) is not None:
            self.side.put_off(line.id)

    @Slot()
    def _drop(self) -> None:
        if (line := self.table.current_row) is not None:
            self.acts.drop(line)

    @Slot(object)
    def _tick_step(self, ticked: tuple[int, bool]) -> None:
        if self.page.shown is not None:
            self.acts.tick_step(self.page.shown, *ticked)

    @Slot(object)
    def _read_again(self, _nothing: object) -> None:
        self.refresh()

    # What stands in the place of the list

    @Slot()
    def _new(self) -> None:
        self._edit(None)

    @Slot()
    def _change(self) -> None:
        if (line := self.table.current_row) is not None:
            self._edit(line.id)

    def _edit(self, task: TaskId | None) -> None:
        from tubcare.desktop.tasks_editor import TaskEditor  # noqa: PLC0415  seldom needed

        self._browse()
        self.editor = TaskEditor(self.context)
        self.editor.kept.connect(self._kept)
        self.editor.left.connect(self._browse)
        self.editor.open(task)
        self._put_up(self.editor)

    @Slot()
    def _show_offers(self) -> None:
        from tubcare.desktop.tasks_offers import OffersPage  # noqa: PLC0415  seldom needed

        self._browse()
        self.offers = OffersPage(self.context)
        self.offers.left.connect(self._browse)
        self.offers.refresh()
        self._put_up(self.offers)

    def _put_up(self, page: QWidget) -> None:
        # Its buttons would come before those of the new page when Tab goes round.
        self.context.strip.put_away()
        self._pages.addWidget(page)
        self._pages.setCurrentWidget(page)
        for action in self._browsing:
            action.setVisible(False)

    @Slot()
    def _browse(self) -> None:
        """Go back to the list."""
        for page in (self.editor, self.offers):
            if page is not None:
                self._pages.removeWidget(page)
                page.hide()
                page.deleteLater()
        self.editor = self.offers = None
        self._pages.setCurrentWidget(self.side)
        for action in self._browsing:
            action.setVisible(True)
        self.table.setFocus()

    @Slot(object)
    def _kept(self, task: TaskId) -> None:
        self._wanted = task
        self._browse()
        self.refresh()
