"""The care plan before it is saved: tasks are dropped, added and changed, past work is told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, Qt, Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from tubcare.care.model import Interval
from tubcare.care.plan_edit import own_task
from tubcare.care.terms import Period
from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.parting import beside
from tubcare.desktop.plan_forms import LastDoneForm, PlannedTaskForm
from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.theme import worded
from tubcare.services.plans import planned_for
from tubcare.words.dates import weekday_date

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from tubcare.care.plan import PlannedTask
    from tubcare.desktop.screen import Context
    from tubcare.values import TubProfile

KEY_ROLE = Qt.ItemDataRole.UserRole
_OWN = "own task "
_OWN_INTERVAL = Interval(count=4, period=Period.WEEK)


class PlanPage(QWidget):
    """The plan as a list to tick; the chosen task and what was last done stand beside it."""

    submitted = Signal(object)
    """Carries nothing (None): Enter was pressed in a field and all fields can be used."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self._context = context
        self._profile: TubProfile | None = None
        self._today = context.desk.today("UTC")
        self._drawn: dict[str, PlannedTask] = {}
        self._changed: dict[str, PlannedTask] = {}
        self._own: dict[str, PlannedTask] = {}
        say = context.say
        self.list = QListWidget()
        self.list.setAccessibleName(say("Care plan"))
        self.add_action = QAction(say("Add a task of your own"), self)
        self.add_action.triggered.connect(self.add_own)
        self.task_form = PlannedTaskForm(context)
        self.past = LastDoneForm(context)
        self._past_title = worded(QLabel(say("When was this last done?")), "group")
        self._past_told = worded(
            QLabel(
                say("Leave empty what you do not know; its first date is spread over a month.")
            ),
            "muted",
        )
        self._past_told.setWordWrap(True)
        right = scrolling(
            worded(QLabel(say("The chosen task")), "group"),
            self.task_form,
            self._past_title,
            self._past_told,
            self.past,
        )
        right.setViewportMargins(10, 0, 0, 0)
        splitter = beside(self._left(), right, shares=(3, 2))
        all_rows = QVBoxLayout(self)
        all_rows.setContentsMargins(0, 0, 0, 0)
        all_rows.addWidget(splitter)
        self.list.currentItemChanged.connect(self._show_current)
        self.task_form.changed.connect(self._take_change)
        self.past.changed.connect(self._draw_again)
        for form in (self.task_form, self.past):
            form.submitted.connect(self.submitted)

    def show_plan(self, profile: TubProfile, today: date) -> None:
        """Draw the plan up for a profile; what was changed for the same profile stays."""
        if self._profile == profile and self._today == today:
            return
        self._profile, self._today = profile, today
        self._changed, self._own = {}, {}
        planned = planned_for(profile, today, own_words=self._context.speech.own)
        asked = [each for each in planned if each.asks_last_done]
        self.past.show_tasks(asked, today)
        for label in (self._past_title, self._past_told):
            label.setVisible(bool(asked))
        self._drawn = {each.template_key: each for each in planned}
        self.list.clear()
        # What makes up the plan comes first, what is offered besides below it.
        for each in sorted(planned, key=lambda task: not task.starter):
            self._add_item(each.template_key, each, wanted=each.starter)
        self.list.setCurrentRow(0)

    def check(self) -> bool:
        """Return whether all that was typed can be used; go to the first fault."""
        return self.task_form.check() and self.past.check()

    def keys(self) -> frozenset[str]:
        """Return the templates that are ticked."""
        return frozenset(key for key in self._ticked() if key in self._drawn)

    def last_done(self) -> Mapping[str, date]:
        """Return when tasks were last done, as far as the person knows, by template."""
        return self.past.dates()

    def changed(self) -> Mapping[str, PlannedTask]:
        """Return the tasks that the person changed, by template."""
        return dict(self._changed)

    def own(self) -> tuple[PlannedTask, ...]:
        """Return the ticked tasks of the person's own."""
        return tuple(self._own[key] for key in self._ticked() if key in self._own)

    @Slot()
    def add_own(self) -> None:
        """Add a task of the person's own, to be named beside the list."""
        key = f"{_OWN}{len(self._own) + 1}"
        title = self._context.say("A task of my own")
        task = own_task(title=title, every=_OWN_INTERVAL, today=self._today)
        self._own[key] = task
        self._add_item(key, task, wanted=True)
        self.list.setCurrentRow(self.list.count() - 1)
        self.task_form.title.setFocus()
        self.task_form.title.selectAll()

    @Slot()
    def _show_current(self) -> None:
        if self.list.currentRow() >= 0:
            key = self.list.currentItem().data(KEY_ROLE)
            self.task_form.show_task(self._task(key))

    @Slot(object)
    def _take_change(self, task: PlannedTask) -> None:
        if self.list.currentRow() < 0:
            return
        item = self.list.currentItem()
        key = item.data(KEY_ROLE)
        if key in self._own:
            self._own[key] = task
        elif task == self._drawn[key]:
            self._changed.pop(key, None)
        else:
            self._changed[key] = task
        item.setText(self._told(task))

    @Slot()
    def _draw_again(self) -> None:
        """Move the first dates to what follows from the last times."""
        if self._profile is None:
            return
        known = self.past.dates()
        own = self._context.speech.own
        for each in planned_for(self._profile, self._today, last_done=known, own_words=own):
            self._drawn[each.template_key] = each
        for at in range(self.list.count()):
            item = self.list.item(at)
            item.setText(self._told(self._task(item.data(KEY_ROLE))))
        self._show_current()

    def _left(self) -> QWidget:
        told = self._context.say(
            "Ticked tasks make up the plan. The others can be added at any time."
        )
        label = worded(QLabel(told), "muted")
        label.setWordWrap(True)
        below = QHBoxLayout()
        below.addWidget(ActionButton(self.add_action))
        below.addStretch()
        left = QWidget()
        rows = QVBoxLayout(left)
        rows.setContentsMargins(0, 0, 8, 0)
        rows.addWidget(label)
        rows.addWidget(self.list, 1)
        rows.addLayout(below)
        return left

    def _task(self, key: str) -> PlannedTask:
        return self._own.get(key) or self._changed.get(key) or self._drawn[key]

    def _ticked(self) -> list[str]:
        items = (self.list.item(at) for at in range(self.list.count()))
        return [
            item.data(KEY_ROLE) for item in items if item.checkState() is Qt.CheckState.Checked
        ]

    def _add_item(self, key: str, task: PlannedTask, *, wanted: bool) -> None:
        blocked = QSignalBlocker(self.list)
        item = QListWidgetItem(self._told(task))
        item.setData(KEY_ROLE, key)
        item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
        item.setCheckState(Qt.CheckState.Checked if wanted else Qt.CheckState.Unchecked)
        self.list.addItem(item)
        blocked.unblock()

    def _told(self, task: PlannedTask) -> str:
        if task.first_due_on is None:
            return task.title
        day = weekday_date(self._context.speech, task.first_due_on)
        return self._context.say("{task}, first on {day}", task=task.title, day=day)
