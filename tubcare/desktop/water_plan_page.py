"""The dosing plan: numbered steps with their cautions, and what is to be said beside them."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QLabel, QVBoxLayout
from typing_extensions import override

from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.theme import worded
from tubcare.desktop.water_dose_form import DoseForm
from tubcare.desktop.water_part import WaterPart
from tubcare.desktop.water_step_card import StepCard
from tubcare.desktop.when_entry import WhenEntry
from tubcare.desktop.work import Fault
from tubcare.errors import InputError, StepDoneError
from tubcare.services.water_do import do_step
from tubcare.services.water_plan_model import PlanState
from tubcare.words.sentences.errors import trouble
from tubcare.words.sentences.waits import cut_short_text
from tubcare.words.sentences.water import assumed_text
from tubcare.words.sentences.water_advice import advice_text, outlook_text
from tubcare.words.sentences.water_plan import (
    change_text,
    head_text,
    plan_state_text,
    step_title,
    unread_text,
)

if TYPE_CHECKING:
    from tubcare.desktop.screen import Context
    from tubcare.desktop.water_read import WaterShown
    from tubcare.services.water_plan_model import PlannedStep, TickedStep, WaterPlan
    from tubcare.words.locale import Speech


class WaterPlanPage(WaterPart):
    """Shows the plan that a service worked out, and ticks its steps one after the other."""

    def __init__(self, context: Context) -> None:
        super().__init__(context)
        self.page = self.add_tall_page()
        self.cards: list[StepCard] = []
        self.told = QLabel()
        self.remarks = QLabel()
        for label in (self.told, self.remarks):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        worded(self.remarks, "muted")
        self.when = WhenEntry(context, context.say("The next step was done"))
        self.page.rows.addWidget(self.told)
        self.page.rows.addWidget(self.when)
        self._steps = QVBoxLayout()
        self._steps.setSpacing(10)
        self.page.rows.addLayout(self._steps)
        self.page.rows.addWidget(self.remarks)
        self.other = DoseForm(context)
        self.page.rows.addWidget(self.other)
        self.records_action = self.add_page_action(
            context.say("See and delete what was written down"), self._go_to_records
        )
        records = ActionButton(self.records_action)
        self.page.rows.addWidget(records, 0, Qt.AlignmentFlag.AlignLeft)
        self.page.rows.addStretch(1)

    @override
    def show_water(self, shown: WaterShown) -> None:
        """Show a tub's plan in place of what was shown; the keyboard stays on the next step."""
        had_focus = any(card.tick.hasFocus() for card in self.cards)
        super().show_water(shown)
        plan, speech = shown.plan, shown.speech
        self.told.setText(" ".join(_head(speech, shown)))
        self.remarks.setText("\n".join(_remarks(speech, plan)))
        for card in self.cards:
            self._steps.removeWidget(card)
            card.hide()
            card.deleteLater()
        self.cards = [StepCard(self.context, shown, each) for each in plan.steps]
        for card in self.cards:
            card.tick_wanted.connect(self._tick)
            self._steps.addWidget(card)
            # A layout shows it a turn of the loop later, and the page would fit without it.
            card.show()
        self.when.move_to(shown.today)
        self.when.setVisible(plan.next_step is not None)
        self.other.show_water(shown)
        self.page.fit()
        if had_focus:
            self.take_focus()

    @override
    def take_focus(self) -> None:
        """Give the keyboard to the tick of the next step."""
        for card in self.cards:
            if card.tick.isEnabled():
                card.tick.setFocus(Qt.FocusReason.OtherFocusReason)
                self.page.ensureWidgetVisible(card)
                return

    @Slot(object)
    def _tick(self, planned: PlannedStep) -> None:
        when = self.when.read()
        if self._shown is None or when is None:
            return
        plan = self._shown.plan
        self.context.work.on_logbook(
            partial(
                do_step,
                self.context.desk,
                plan.tub.id,
                planned.number,
                test_at=plan.test_at,
                on=when.on,
                at=when.at,
            ),
            done=self._say_done,
            failed=self._say_refused,
            title=self.context.say("Recording a step"),
        )

    @Slot()
    def _go_to_records(self) -> None:
        """Go where the records of this tub are listed, doses and readings among them."""
        self.context.go("tub", "quick")

    def _say_refused(self, error: BaseException) -> None:
        title = self.context.say("Recording a step")
        if isinstance(error, InputError):
            self.when.refuse(error)
        elif isinstance(error, StepDoneError) and self._shown is not None:
            zone = ZoneInfo(self._shown.plan.tub.zone)
            self.when.tell(" ".join(trouble(self.speech, error, zone).lines))
        else:
            self.context.work.faulted.emit(Fault(title=title, error=error))

    def _say_done(self, ticked: TickedStep) -> None:
        speech, shown, wait = self.speech, self._shown, ticked.cut_short
        self.when.clear()
        told = [speech.say("Recorded: {what}.", what=step_title(speech, ticked.planned.step))]
        if wait is not None and shown is not None:
            until = shown.moment(wait.until)
            told.append(cut_short_text(speech, wait.after, until, is_over=wait.is_over))
        self.context.strip.say(" ".join(told), undo=self.context.undo)


def _head(speech: Speech, shown: WaterShown) -> list[str]:
    plan = shown.plan
    if plan.state is not PlanState.STEPS or plan.whole is None:
        return [plan_state_text(speech, plan.state.value)]
    return list(
        head_text(
            speech,
            plan.whole,
            left=sum(each.done is None for each in plan.steps),
            next_at=None if plan.next_at is None else shown.moment(plan.next_at),
            test_from=None if plan.retest_at is None else shown.moment(plan.retest_at),
        )
    )


def _remarks(speech: Speech, plan: WaterPlan) -> list[str]:
    told = []
    if plan.whole is not None:
        if plan.whole.change is not None:
            told.append(change_text(speech, plan.whole.change, plan.whole.advice))
        told += [advice_text(speech, plan.kit, each) for each in plan.whole.advice]
        told.append(outlook_text(speech, plan.whole.outlook))
    if plan.unread:
        told.append(unread_text(speech, sorted(plan.unread)))
    if plan.other_doses:
        names = ", ".join(plan.other_doses)
        told.append(
            speech.say("Added since the test outside this plan: {names}. Test again.", names=names)
        )
    if plan.assumed:
        told.append(assumed_text(speech, plan.kit, plan.assumed))
    return told
