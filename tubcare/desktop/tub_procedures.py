"""The procedures of one tub: opening, closing, the water change, ticked over days."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from tubcare.care.model import Status
from tubcare.desktop.buttons import ActionButton
from tubcare.desktop.marks import state_word
from tubcare.desktop.theme import worded
from tubcare.desktop.tub_steps import StepList
from tubcare.desktop.when_entry import When, WhenEntry
from tubcare.desktop.work import Fault
from tubcare.errors import InputError
from tubcare.services.upkeep_model import Work
from tubcare.services.upkeep_steps import tick_step, untick_step
from tubcare.services.upkeep_tick import tick_off
from tubcare.words.dates import medium_date
from tubcare.words.lists import all_of
from tubcare.words.plan_terms import caution_told, plan_word
from tubcare.words.sentences.turns import entered
from tubcare.words.sentences.why import why
from tubcare.words.terms import word

if TYPE_CHECKING:
    from PySide6.QtGui import QAction

    from tubcare.care.model import TubState
    from tubcare.desktop.screen import Context
    from tubcare.services.procedures import Procedure
    from tubcare.services.upkeep_model import Ticked


class Procedures(QWidget):
    """One procedure at a time, chosen from those of the tub."""

    def __init__(self, context: Context, finish: QAction) -> None:
        super().__init__()
        self.context = context
        self._found: tuple[Procedure, ...] = ()
        self._finish = finish
        finish.triggered.connect(self.finish)
        self.choice = QComboBox()
        self.choice.setAccessibleName(context.say("Procedure"))
        self.choice.activated.connect(self._show_chosen)
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.steps = StepList(context)
        self.steps.tick_wished.connect(self._tick)
        self.empty = worded(QLabel(), "muted")
        self.empty.setWordWrap(True)
        self.empty.setText(
            context.say(
                "There is no procedure in this tub's plan. “Profile” offers the tasks that fit it."
            )
        )
        holder = QWidget()
        holder.setObjectName("page")
        inside = QVBoxLayout(holder)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.addWidget(self.told)
        inside.addWidget(self.steps)
        inside.addStretch(1)
        self._area = QScrollArea()
        self._area.setWidget(holder)
        self._area.setWidgetResizable(True)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.finish_button = ActionButton(finish)
        self.when = WhenEntry(context, context.say("Done on"))
        below = QHBoxLayout()
        below.addStretch()
        below.addWidget(self.finish_button)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(12, 0, 0, 0)
        rows.addWidget(worded(QLabel(context.say("Procedures")), "group"))
        for widget in (self.choice, self.empty):
            rows.addWidget(widget)
        rows.addWidget(self._area, 1)
        rows.addWidget(self.when)
        rows.addLayout(below)

    def show_procedures(self, found: tuple[Procedure, ...]) -> None:
        """Show the procedures that were read; the chosen one stays chosen."""
        before = self.choice.currentData()
        self._found = found
        if found:
            self.when.move_to(found[0].today)
        self.choice.clear()
        for each in found:
            self.choice.addItem(self._name(each), each.task)
        self.choice.setCurrentIndex(max(0, self.choice.findData(before)))
        for widget in (self.choice, self.told, self._area, self.when, self.finish_button):
            widget.setVisible(bool(found))
        self.empty.setVisible(not found)
        self._show_chosen()

    def choose(self, task: object) -> None:
        """Show the procedure of that task, if it is there."""
        at = self.choice.findData(task)
        if at >= 0:
            self.choice.setCurrentIndex(at)
            self._show_chosen()

    @property
    def chosen(self) -> Procedure | None:
        """The procedure that is shown."""
        at = self.choice.currentIndex()
        return self._found[at] if 0 <= at < len(self._found) else None

    def left_of(self, state: TubState) -> Procedure | None:
        """Return the begun procedure that ends in a state and is not finished, None for none."""
        begun = (each for each in self._found if each.enters is state and each.done)
        return next((each for each in begun if each.left), None)

    @Slot()
    def finish(self) -> None:
        """Record the procedure as done; it brings the tub into the state it ends in."""
        chosen, when = self.chosen, self.when.read()
        if chosen is None or when is None:
            return
        work = Work(on=when.on)
        self.context.work.on_logbook(
            partial(tick_off, self.context.desk, chosen.task, chosen.occurrence.key, work),
            done=self._say_finished,
            title=self.context.say("Finishing a procedure"),
        )

    @Slot()
    def _show_chosen(self) -> None:
        chosen = self.chosen
        self._finish.setEnabled(chosen is not None and not chosen.left)
        if chosen is None:
            self._finish.setText(self.context.say("Finish the procedure"))
            return
        self.told.setText(self._told(chosen))
        self._finish.setText(self._finish_text(chosen))
        self.steps.show_steps(chosen)

    @Slot(object)
    def _tick(self, wish: tuple[int, bool]) -> None:
        place, wanted = wish
        chosen = self.chosen
        when = self.when.read() if wanted else When()
        if chosen is None or when is None:
            self._show_chosen()
            return
        step = (self.context.desk, chosen.task, chosen.occurrence.key, place)
        ticking = partial(tick_step, *step, on=when.on, at=when.at)
        self.context.work.on_logbook(
            ticking if wanted else partial(untick_step, *step),
            done=partial(self._say_ticked, chosen, place, wanted=wanted),
            failed=self._put_back,
            title=self.context.say("Ticking a step"),
        )

    def _put_back(self, error: BaseException) -> None:
        """Show the step as it stands in the logbook again, and tell what went wrong."""
        self._show_chosen()
        if isinstance(error, InputError):
            self.when.refuse(error)
            return
        fault = Fault(title=self.context.say("Ticking a step"), error=error)
        self.context.work.faulted.emit(fault)

    def _say_ticked(
        self, procedure: Procedure, place: int, _nothing: None, *, wanted: bool
    ) -> None:
        say = self.context.say
        self.when.clear()
        step = say("step {number} of “{what}”", number=place + 1, what=procedure.title)
        text = (
            say("Recorded: {what}.", what=step) if wanted else say("Cleared: {what}.", what=step)
        )
        self.context.strip.say(text, undo=self.context.undo)

    def _say_finished(self, ticked: Ticked) -> None:
        say = self.context.say
        self.when.clear()
        text = say("Recorded: {what}.", what=ticked.title)
        if ticked.entered is not None:
            text = f"{text} {entered(self.context.speech, ticked.entered)}"
        self.context.strip.say(text, undo=self.context.undo)

    def _name(self, procedure: Procedure) -> str:
        speech = self.context.speech
        status = procedure.occurrence.status
        if procedure.done:
            told = self.context.say(
                "{done} of {all} steps", done=procedure.done, all=len(procedure.steps)
            )
        elif status is Status.COMING:
            told = medium_date(speech, procedure.occurrence.due_on)
        else:
            told = state_word(speech, status).lower()
        return f"{procedure.title} ({told})"

    def _told(self, procedure: Procedure) -> str:
        speech, say = self.context.speech, self.context.say
        parts = [procedure.why]
        status = procedure.occurrence.status
        if status is Status.ASLEEP:
            parts.append(say("It is asleep now, and can be done all the same."))
        else:
            parts.append(why(speech, procedure.occurrence, procedure.today))
        needs = [plan_word(speech, need) for need in procedure.needs]
        if needs:
            parts.append(say("Needs: {names}", names=all_of(speech, needs)))
        if procedure.tools:
            parts.append(say("Tools: {names}", names=all_of(speech, procedure.tools)))
        if procedure.supplies:
            parts.append(say("Uses: {names}", names=all_of(speech, procedure.supplies)))
        parts += [caution_told(speech, text) for text in procedure.cautions]
        return "\n".join(_sentence(part) for part in parts if part)

    def _finish_text(self, procedure: Procedure) -> str:
        speech = self.context.speech
        if procedure.left:
            return speech.say_count(
                "Finish: {n} step is left", "Finish: {n} steps are left", procedure.left
            )
        if procedure.enters is None:
            return speech.say("Finish the procedure")
        state = word(speech, procedure.enters)
        return speech.say("Finish: the tub is {state}", state=state)


def _sentence(text: str) -> str:
    told = text[:1].upper() + text[1:]
    return told if told.endswith((".", "?")) else f"{told}."
