"""The first run: describe the tub, see the plan, begin."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QScrollArea, QStackedWidget, QVBoxLayout, QWidget
from typing_extensions import override

from tubcare.care.model import TubState
from tubcare.care.profile import checked_profile
from tubcare.desktop.demo_window import open_demo
from tubcare.desktop.first_run_pages import (
    MaterialPage,
    PlacePage,
    TubPage,
    profile_of,
)
from tubcare.desktop.forms import Form
from tubcare.desktop.plan_page import PlanPage
from tubcare.desktop.screen import Screen
from tubcare.errors import TubcareError
from tubcare.services.household import is_started, start_logbook
from tubcare.services.plans import add_tub_with_plan
from tubcare.words.locale import NO_CURRENCY

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from PySide6.QtGui import QKeyEvent

    from tubcare.care.plan import PlannedTask
    from tubcare.desktop.screen import Context
    from tubcare.services.desk import Desk
    from tubcare.services.plans import AddedTub
    from tubcare.values import TubProfile

PLAN = 3
FIELD_CHARACTERS = 90


class FirstRun(Screen):
    """Four pages with defaults: Enter goes on, Escape leaves for an empty week."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, context.say("Your tub"))
        self.tub = TubPage(context)
        self.material = MaterialPage(context)
        self.place = PlacePage(context, _local_zone(), context.speech.currency.code)
        if self.place.currency.text() == NO_CURRENCY.code:
            self.place.currency.setText("EUR")
        self.plan = PlanPage(context)
        self.pages = QStackedWidget()
        for page in (self.tub, self.material, self.place, self.plan):
            self.pages.addWidget(_scrolling(page))
        self.body.addWidget(self.pages, 1)
        self._back = self.add_action(context.say("&Back"), self._go_back, button=True)
        self.demo_action = self.add_action(
            context.say("Look at the &demo"), self._open_demo, button=True
        )
        self.go_on_action = self.add_action(context.say("C&ontinue"), self.go_on, main=True)
        for form in (self.tub, self.material, self.place, self.plan):
            form.submitted.connect(self._submit)
        self._show(0)

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the first field of the shown page."""
        first = (
            self.tub.name_entry,
            self.material.liner,
            self.place.zone,
            self.plan.list,
        )[self.pages.currentIndex()]
        first.setFocus(Qt.FocusReason.OtherFocusReason)

    @override
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go on with Enter, leave with Escape; all that was typed stays."""
        if event.key() == Qt.Key.Key_Escape:
            self.context.go("week")
        elif event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.go_on()
        else:
            super().keyPressEvent(event)

    @Slot()
    def go_on(self) -> None:
        """Check the page and show the next one; on the last, begin."""
        at = self.pages.currentIndex()
        page = (self.tub, self.material, self.place, self.plan)[at]
        if not page.check():
            return
        if at == PLAN:
            self._begin()
            return
        if at == PLAN - 1 and not self._draw():
            return
        self._show(at + 1)

    @Slot(object)
    def _submit(self, _nothing: object) -> None:
        self.go_on()

    @Slot()
    def _go_back(self) -> None:
        self._show(max(0, self.pages.currentIndex() - 1))

    @Slot()
    def _open_demo(self) -> None:
        say = self.context.say
        if open_demo():
            told = say("The demo opens in a window of its own; nothing done there is kept.")
        else:
            told = say("The demo could not be started; “tubcare --demo” in a terminal opens it.")
        self.context.strip.say(told)

    def _show(self, at: int) -> None:
        self.demo_action.setVisible(at == 0)
        self.pages.setCurrentIndex(at)
        self._back.setEnabled(at > 0)
        steps = self.context.say("Step {step} of {steps}", step=at + 1, steps=PLAN + 1)
        self.say_below_title(steps)
        last = self.context.say("Be&gin") if at == PLAN else self.context.say("C&ontinue")
        self.go_on_action.setText(last)
        self.take_focus()

    def _draw(self) -> bool:
        try:
            profile = checked_profile(profile_of(self.tub, self.material, self.place))
        except TubcareError as error:
            for at, form in enumerate((self.tub, self.material, self.place)):
                if form.show_error(error):
                    self._show(at)
                    form.show_error(error)
                    return False
            raise
        self.plan.show_plan(profile, self.context.desk.today(profile.zone))
        return True

    def _begin(self) -> None:
        profile = profile_of(self.tub, self.material, self.place)
        self.context.work.on_logbook(
            partial(
                _add,
                self.context.desk,
                self.place.currency.read(),
                Answers(
                    profile=profile,
                    state=TubState(self.place.state.value()),
                    keys=self.plan.keys(),
                    last_done=self.plan.last_done(),
                    changed=self.plan.changed(),
                    own=self.plan.own(),
                ),
            ),
            done=self._begun,
            title=self.context.say("Adding the tub"),
        )

    def _begun(self, added: AddedTub) -> None:
        self.context.go("week")
        self.context.strip.say(
            self.context.speech.say_count(
                "The tub is added, with {n} task in its plan.",
                "The tub is added, with {n} tasks in its plan.",
                added.tasks,
            ),
            undo=self.context.undo,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What a person said about a new tub and its plan."""

    profile: TubProfile
    state: TubState
    keys: frozenset[str]
    last_done: Mapping[str, date]
    changed: Mapping[str, PlannedTask]
    own: tuple[PlannedTask, ...]


def save_answers(desk: Desk, answers: Answers) -> AddedTub:
    """Add the tub with the plan as it stands in the answers."""
    return add_tub_with_plan(
        desk,
        answers.profile,
        keys=answers.keys,
        last_done=answers.last_done,
        changed=answers.changed,
        own=answers.own,
        state=answers.state,
    )


def _add(desk: Desk, code: str, answers: Answers) -> AddedTub:
    if not is_started(desk):
        zone = answers.profile.zone
        start_logbook(desk, currency_code=code, home_zone=zone, person=desk.actor)
    return save_answers(desk, answers)


def _local_zone() -> str:
    from tzlocal import get_localzone_name  # noqa: PLC0415  comes with the scheduler

    return str(get_localzone_name())


def _scrolling(page: QWidget) -> QScrollArea:
    holder = QWidget()
    rows = QVBoxLayout(holder)
    rows.setContentsMargins(0, 0, 0, 0)
    rows.addWidget(page, 0 if isinstance(page, Form) else 1)
    if isinstance(page, Form):
        page.setMaximumWidth(FIELD_CHARACTERS * page.fontMetrics().averageCharWidth())
        rows.addStretch(1)
    area = QScrollArea()
    area.setWidget(holder)
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return area
