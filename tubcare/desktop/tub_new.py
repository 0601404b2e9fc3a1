"""A further tub: its profile, then its plan, then it is added."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QLabel, QStackedWidget, QVBoxLayout, QWidget

from tubcare.care.model import TubState
from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.first_run import Answers, save_answers
from tubcare.desktop.plan_page import PlanPage
from tubcare.desktop.scrolling import scrolling
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_part import EntryBox
from tubcare.desktop.tub_profile_form import EMPTY, ProfileForm
from tubcare.desktop.word_choice import WordChoice
from tubcare.errors import TubcareError

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.services.plans import AddedTub
    from tubcare.values import TubProfile


class NewTub(QWidget):
    """Two pages: the profile, and the plan that is drawn from it."""

    added = Signal(object)
    """Carries the `AddedTub`."""
    left = Signal(object)
    """Carries nothing (None): the person went back; all that was typed stays."""

    def __init__(self, context: Context) -> None:
        super().__init__()
        say = context.say
        self.context = context
        self.form = ProfileForm(context)
        self.state = WordChoice(context, TubState, TubState.OPEN)
        self.form.add_row("state", say("Now the tub is"), self.state)
        self.go_on_action = QAction(say("Draw up the plan"), self)
        self.box = EntryBox(context, self.form, self.go_on_action)
        self.plan = PlanPage(context)
        self.add_action = QAction(say("Add the tub"), self)
        self.back_action = QAction(say("Back to the profile"), self)
        self.leave_action = QAction(say("Leave without adding"), self)
        self.pages = QStackedWidget()
        self.pages.addWidget(scrolling(self.box))
        self.pages.addWidget(self._plan_page())
        row = QHBoxLayout()
        row.addWidget(worded(QLabel(say("A further tub")), "group"))
        row.addStretch()
        row.addWidget(ActionButton(self.leave_action))
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addLayout(row)
        rows.addWidget(self.pages, 1)
        self.go_on_action.triggered.connect(self.go_on)
        self.form.submitted.connect(self._submit)
        self.plan.submitted.connect(self._submit_plan)
        self.add_action.triggered.connect(self.add)
        self.back_action.triggered.connect(self._back)
        self.leave_action.triggered.connect(self._leave)

    @property
    def actions_of_page(self) -> list[QAction]:
        """Return what can be done here, for the menu."""
        if self.pages.currentIndex() == 0:
            return [self.go_on_action, self.leave_action]
        return [self.add_action, self.back_action, self.plan.add_action, self.leave_action]

    def begin(self, like: TubProfile | None) -> None:
        """Begin with the place and season of a tub that is there already."""
        base = EMPTY
        if like is not None:
            base = replace(
                base,
                zone=like.zone,
                latitude_deg=like.latitude_deg,
                season_opens=like.season_opens,
                season_closes=like.season_closes,
                people=like.people,
            )
        self.form.show_profile(replace(base, name=self.context.say("Second tub")))
        self.pages.setCurrentIndex(0)
        self.form.name.setFocus()
        self.form.name.selectAll()

    @Slot()
    def go_on(self) -> None:
        """Draw up the plan, or go to what cannot be used."""
        if not self.form.check():
            return
        try:
            profile = self.form.profile()
        except TubcareError as error:
            self.box.tell(error)
            return
        self.plan.show_plan(profile, self.context.desk.today(profile.zone))
        self.pages.setCurrentIndex(1)
        self.plan.list.setFocus()

    @Slot()
    def add(self) -> None:
        """Add the tub with the ticked tasks."""
        if not self.plan.check():
            return
        answers = Answers(
            profile=self.form.profile(),
            state=TubState(self.state.value()),
            keys=self.plan.keys(),
            last_done=self.plan.last_done(),
            changed=self.plan.changed(),
            own=self.plan.own(),
        )
        self.context.work.on_logbook(
            partial(save_answers, self.context.desk, answers),
            done=self._say_added,
            failed=self._tell,
            title=self.context.say("Adding the tub"),
        )

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.go_on()

    @Slot(object)
    def _submit_plan(self, _nothing: object) -> None:
        self.add()

    @Slot()
    def _back(self) -> None:
        self.pages.setCurrentIndex(0)
        self.form.name.setFocus()

    @Slot()
    def _leave(self) -> None:
        self.left.emit(None)

    def _tell(self, error: BaseException) -> None:
        self.pages.setCurrentIndex(0)
        self.box.tell(error)

    def _say_added(self, added: AddedTub) -> None:
        text = self.context.speech.say_count(
            "The tub is added, with {n} task in its plan.",
            "The tub is added, with {n} tasks in its plan.",
            added.tasks,
        )
        self.context.strip.say(text, undo=self.context.undo)
        self.added.emit(added)

    def _plan_page(self) -> QWidget:
        page = QWidget()
        below = QHBoxLayout()
        below.addStretch()
        below.addWidget(ActionButton(self.back_action))
        below.addWidget(ActionButton(self.add_action))
        rows = QVBoxLayout(page)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(self.plan, 1)
        rows.addLayout(below)
        return page
